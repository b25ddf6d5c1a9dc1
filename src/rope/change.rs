//! What of a version of a sequence is otherwise than it was.

use super::chunk::{Chunk, Moved};
use super::chunks::Rope;
use std::ops::Range;

/// What of a version differs from an older one. All that stands before and after it is the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The items that are gone, by their indices in the older version.
    pub old: Range<usize>,
    /// Those in their place.
    pub new: Range<usize>,
}

impl Change {
    /// Whether nothing differs.
    #[must_use]
    pub fn is_none(&self) -> bool {
        self.old.is_empty() && self.new.is_empty()
    }

    /// Where an item stands that stood after the change, or before it.
    #[must_use]
    pub fn moved(&self, index: usize) -> usize {
        if index < self.old.end { index } else { index - self.old.end + self.new.end }
    }
}

/// How chunks are looked at.
struct Looking<T> {
    items: fn(&Chunk<T>) -> &[T],
    /// Whether two need not be looked at, since they are the same.
    shared: fn(&Chunk<T>, &Chunk<T>) -> bool,
}

impl<T> Clone for Looking<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Looking<T> {}

impl<T> Rope<T> {
    /// What differs from an older version, as far as `same` says that two items are one.
    pub fn changed_from(&self, old: &Self, same: impl Fn(&T, &T) -> bool) -> Change {
        self.changed(old, Looking { items: Chunk::items, shared: Chunk::is }, &same)
    }

    /// The same where `same` does not heed where items stand.
    pub fn changed_wherever(&self, old: &Self, same: impl Fn(&T, &T) -> bool) -> Change {
        self.changed(old, Looking { items: Chunk::made, shared: Chunk::shares }, &same)
    }

    fn changed(&self, old: &Self, look: Looking<T>, same: &impl Fn(&T, &T) -> bool) -> Change {
        let before = self.alike_before(old, look, same);
        let most = self.len().min(old.len()) - before;
        let after = self.alike_after(old, most, look, same);
        Change { old: before..old.len() - after, new: before..self.len() - after }
    }

    /// Which items stand elsewhere than in an older version from which this changed so. `place` is where an item stands,
    /// if anywhere; those outside of the change are the same, and stand somewhere in both or in neither.
    pub fn moved_from(
        &self,
        old: &Self,
        change: &Change,
        place: impl Fn(&T) -> Option<usize>,
    ) -> Vec<Moved> {
        let mut all: Vec<Moved> = Vec::new();
        let mut add = |items: Range<usize>, by: isize| match all.last_mut() {
            Some(last) if last.by == by => last.items.end = items.end,
            Some(_) | None => all.push(Moved { items, by }),
        };
        for (mut at, end) in [(0, change.old.start), (change.old.end, old.len())] {
            while at < end {
                let now = change.moved(at);
                let (Some(a), Some(b)) = (self.chunk(now), old.chunk(at)) else { break };
                let (from_a, from_b) = (now - a.start, at - b.start);
                let count = (end - at).min(a.len() - from_a).min(b.len() - from_b);
                let by = a.by() - b.by();
                if from_a == from_b && a.shares(b) {
                    add(at..at + count, by);
                } else {
                    let pairs = a.made().iter().skip(from_a).zip(b.made().iter().skip(from_b));
                    for (index, (own, its)) in (at..).zip(pairs.take(count)) {
                        if let (Some(own), Some(its)) = (place(own), place(its)) {
                            add(index..index + 1, own as isize - its as isize + by);
                        }
                    }
                }
                at += count;
            }
        }
        all.retain(|moved| moved.by != 0);
        all
    }

    fn chunk(&self, index: usize) -> Option<&Chunk<T>> {
        self.chunks().get(self.chunk_of(index)?)
    }

    /// The same part by part: where as many items came as are gone, what is the same among them is no part of it.
    pub fn changes_from(&self, old: &Self, same: impl Fn(&T, &T) -> bool) -> Vec<Change> {
        let whole = self.changed_from(old, &same);
        if whole.old.len() != whole.new.len() {
            return vec![whole];
        }
        let pairs = self.range(whole.new.clone()).zip(old.range(whole.old.clone()));
        let unlike = pairs.enumerate().filter(|(_, (own, its))| !same(own, its));
        let mut changes: Vec<Change> = Vec::new();
        for (nth, _) in unlike {
            let (own, its) = (whole.new.start + nth, whole.old.start + nth);
            match changes.last_mut() {
                Some(last) if last.new.end == own => {
                    (last.old.end, last.new.end) = (its + 1, own + 1)
                }
                Some(_) | None => changes.push(Change { old: its..its + 1, new: own..own + 1 }),
            }
        }
        changes
    }

    /// How many items are the same from the first on.
    fn alike_before(
        &self,
        old: &Self,
        Looking { items, shared }: Looking<T>,
        same: &impl Fn(&T, &T) -> bool,
    ) -> usize {
        let (mut own, mut its) = (self.chunks().iter().peekable(), old.chunks().iter().peekable());
        let mut at = 0;
        while let (Some(a), Some(b)) = (own.peek(), its.peek()) {
            let shared = a.start == at && b.start == at && shared(a, b);
            let end = a.end().min(b.end());
            if !shared {
                let rest = |chunk: &Chunk<T>| at - chunk.start;
                let pairs = items(a).iter().skip(rest(a)).zip(items(b).iter().skip(rest(b)));
                let alike = pairs.take_while(|(a, b)| same(a, b)).count();
                if at + alike < end {
                    return at + alike;
                }
            }
            at = end;
            own.next_if(|chunk| chunk.end() == at);
            its.next_if(|chunk| chunk.end() == at);
        }
        at
    }

    /// How many items are the same from the last on, at most so many.
    fn alike_after(
        &self,
        old: &Self,
        most: usize,
        Looking { items, shared }: Looking<T>,
        same: &impl Fn(&T, &T) -> bool,
    ) -> usize {
        let mut own = self.chunks().iter().rev().peekable();
        let mut its = old.chunks().iter().rev().peekable();
        let mut at = 0;
        while let (Some(a), Some(b)) = (own.peek(), its.peek()) {
            // How many items stand from the start of each to the end of all.
            let (of_a, of_b) = (self.len() - a.start, old.len() - b.start);
            let ends = (self.len() - a.end(), old.len() - b.end());
            let shared = ends == (at, at) && of_a <= most && shared(a, b);
            let end = of_a.min(of_b);
            if !shared {
                let pairs = items(a).iter().rev().skip(at - ends.0);
                let pairs = pairs.zip(items(b).iter().rev().skip(at - ends.1));
                let alike = pairs.take(most - at).take_while(|(a, b)| same(a, b)).count();
                if at + alike < end {
                    return at + alike;
                }
            }
            at = end;
            own.next_if(|_| of_a == at);
            its.next_if(|_| of_b == at);
        }
        at
    }
}
