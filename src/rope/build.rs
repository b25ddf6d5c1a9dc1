//! A sequence put together of parts of others and of new items.

use super::chunk::{Chunk, Moving};
use super::chunks::{FEW, MOST, Rope};
use std::ops::Range;

/// A sequence as it grows. Chunks that are taken whole are shared.
struct Growing<T> {
    rope: Rope<T>,
    /// Items after the last chunk.
    loose: Vec<T>,
}

impl<T: Clone> Growing<T> {
    fn new() -> Self {
        Self { rope: Rope::default(), loose: Vec::new() }
    }

    /// Adds new items.
    fn items(&mut self, items: impl IntoIterator<Item = T>) {
        self.loose.extend(items);
    }

    /// Adds a range of another sequence, elsewhere.
    fn part(&mut self, other: &Rope<T>, range: Range<usize>, moving: Option<Moving<T>>) {
        let chunks = other.chunks();
        let first = chunks.partition_point(|chunk| chunk.end() <= range.start);
        for chunk in chunks.get(first..).unwrap_or(&[]) {
            let from = range.start.max(chunk.start);
            let to = range.end.min(chunk.end());
            if from >= to {
                break;
            }
            let whole = to - from == chunk.len();
            if whole && (self.loose.is_empty() || self.loose.len() >= FEW) {
                self.close();
                let start = self.rope.len();
                self.rope.grow(chunk.moved(moving).after(start));
            } else {
                let own = from - chunk.start..to - chunk.start;
                self.loose.extend(chunk.copied(own, moving));
            }
        }
    }

    /// Makes chunks of the loose items, of nearly the same size.
    fn close(&mut self) {
        let count = self.loose.len().div_ceil(MOST);
        let mut left = std::mem::take(&mut self.loose).into_iter();
        for nth in 0..count {
            let own = left.len().div_ceil(count - nth);
            let start = self.rope.len();
            self.rope.grow(Chunk::new(left.by_ref().take(own).collect(), start));
        }
    }

    fn finish(mut self) -> Rope<T> {
        self.close();
        self.rope
    }
}

impl<T> Rope<T> {
    /// The same with items in the place of ranges, which are in order and lie apart.
    #[must_use]
    pub fn replaced(&self, changes: impl IntoIterator<Item = (Range<usize>, Vec<T>)>) -> Self
    where
        T: Clone,
    {
        let (mut grown, mut at) = (Growing::new(), 0);
        for (range, items) in changes {
            grown.part(self, at..range.start, None);
            grown.items(items);
            at = range.end;
        }
        grown.part(self, at..self.len(), None);
        grown.finish()
    }

    /// The same with items in the place of a range, by which those after it come to stand elsewhere.
    #[must_use]
    pub fn replaced_moving(&self, range: Range<usize>, items: Vec<T>, moving: Moving<T>) -> Self
    where
        T: Clone,
    {
        let mut grown = Growing::new();
        grown.part(self, 0..range.start, None);
        grown.items(items);
        grown.part(self, range.end..self.len(), Some(moving));
        grown.finish()
    }
}
