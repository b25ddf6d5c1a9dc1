//! A sequence put together of parts of others and of new items.

use super::chunk::{Chunk, Moved, MovedItem};
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

    /// Adds a range of another sequence.
    fn part(&mut self, other: &Rope<T>, range: Range<usize>) {
        self.moved(other, range, 0, None);
    }

    /// Adds a range of another sequence, so much further on.
    fn moved(
        &mut self,
        other: &Rope<T>,
        range: Range<usize>,
        by: isize,
        item: Option<MovedItem<T>>,
    ) {
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
                let moved = item.map_or_else(|| chunk.clone(), |item| chunk.moved(by, item));
                self.rope.grow(moved.after(start));
            } else {
                let own = from - chunk.start..to - chunk.start;
                self.loose.extend(chunk.copied(own, by, item));
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
            grown.part(self, at..range.start);
            grown.items(items);
            at = range.end;
        }
        grown.part(self, at..self.len());
        grown.finish()
    }

    /// The same with items in the place of a range; of the others, those that `moved` has come to stand elsewhere.
    /// What moved alike shares no chunk with what did not, so that it need not be copied the next time.
    #[must_use]
    pub fn replaced_moving(
        &self,
        range: Range<usize>,
        items: Vec<T>,
        (moved, item): (&[Moved], MovedItem<T>),
    ) -> Self
    where
        T: Clone,
    {
        let mut grown = Growing::new();
        let part = |grown: &mut Growing<T>, part: Range<usize>| {
            let mut at = part.start;
            let inside = moved.iter().filter(|moved| moved.items.end > part.start);
            for Moved { items, by } in inside.take_while(|moved| moved.items.start < part.end) {
                let (start, end) = (items.start.max(at), items.end.min(part.end));
                if at > part.start {
                    grown.close();
                }
                grown.part(self, at..start);
                if start > part.start {
                    grown.close();
                }
                grown.moved(self, start..end, *by, Some(item));
                at = end;
            }
            if part.start < at && at < part.end {
                grown.close();
            }
            grown.part(self, at..part.end);
        };
        part(&mut grown, 0..range.start);
        grown.items(items);
        part(&mut grown, range.end..self.len());
        grown.finish()
    }
}
