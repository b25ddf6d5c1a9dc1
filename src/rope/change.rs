//! What of a version of a sequence is otherwise than it was.

use super::chunks::Rope;
use std::ops::Range;
use std::sync::Arc;

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

impl<T> Rope<T> {
    /// The part of a change from an older version that differs as far as `same` says, where this asks for less
    /// than what the change was found by.
    pub fn narrowed(&self, old: &Self, change: &Change, same: impl Fn(&T, &T) -> bool) -> Change {
        let both = |own: usize, its: usize| match (self.get(own), old.get(its)) {
            (Some(own), Some(its)) => same(own, its),
            (None, _) | (_, None) => false,
        };
        let most = change.new.len().min(change.old.len());
        let pairs = self.range(change.new.clone()).zip(old.range(change.old.clone()));
        let before = pairs.take_while(|(own, its)| same(own, its)).count();
        let ends = (change.new.end, change.old.end);
        let alike = |nth: &usize| both(ends.0 - 1 - nth, ends.1 - 1 - nth);
        let after = (0..most - before).take_while(alike).count();
        Change {
            old: change.old.start + before..change.old.end - after,
            new: change.new.start + before..change.new.end - after,
        }
    }

    /// What differs from an older version, as far as `same` says that two items are one.
    pub fn changed_from(&self, old: &Self, same: impl Fn(&T, &T) -> bool) -> Change {
        let before = self.alike_before(old, &same);
        let most = self.len().min(old.len()) - before;
        let after = self.alike_after(old, most, &same);
        Change { old: before..old.len() - after, new: before..self.len() - after }
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
    fn alike_before(&self, old: &Self, same: &impl Fn(&T, &T) -> bool) -> usize {
        let (mut own, mut its) = (self.chunks().iter().peekable(), old.chunks().iter().peekable());
        let mut at = 0;
        while let (Some(a), Some(b)) = (own.peek(), its.peek()) {
            let shared = a.start == at && b.start == at && Arc::ptr_eq(&a.items, &b.items);
            let end = a.end().min(b.end());
            if !shared {
                let rest = |chunk: &super::chunks::Chunk<T>| at - chunk.start;
                let pairs = a.items.iter().skip(rest(a)).zip(b.items.iter().skip(rest(b)));
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
    fn alike_after(&self, old: &Self, most: usize, same: &impl Fn(&T, &T) -> bool) -> usize {
        let mut own = self.chunks().iter().rev().peekable();
        let mut its = old.chunks().iter().rev().peekable();
        let mut at = 0;
        while let (Some(a), Some(b)) = (own.peek(), its.peek()) {
            // How many items stand from the start of each to the end of all.
            let (of_a, of_b) = (self.len() - a.start, old.len() - b.start);
            let ends = (self.len() - a.end(), old.len() - b.end());
            let shared = ends == (at, at) && of_a <= most && Arc::ptr_eq(&a.items, &b.items);
            let end = of_a.min(of_b);
            if !shared {
                let pairs = a.items.iter().rev().skip(at - ends.0);
                let pairs = pairs.zip(b.items.iter().rev().skip(at - ends.1));
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
