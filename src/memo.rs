//! What was made of things before, so that it is not made again.
//!
//! A thing is known by where it lies in memory, which costs nothing to ask. What is kept holds on to the
//! thing, so that nothing else comes to lie there.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};
use std::sync::Arc;

/// What was made of things. By default it keeps nothing.
#[derive(Debug)]
pub(crate) struct Memo<T: ?Sized, M> {
    keeps: bool,
    turn: u32,
    made: HashMap<usize, Kept<T, M>, Addresses>,
}

#[derive(Debug)]
struct Kept<T: ?Sized, M> {
    /// Held so that the address stays its own.
    thing: Arc<T>,
    made: M,
    /// When it was last asked for.
    turn: u32,
}

impl<T: ?Sized, M> Default for Memo<T, M> {
    fn default() -> Self {
        Self { keeps: false, turn: 0, made: HashMap::default() }
    }
}

impl<T: ?Sized, M> Memo<T, M> {
    /// One that keeps what it is given.
    pub(crate) fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }

    /// Whether it keeps what it is given.
    pub(crate) fn keeps(&self) -> bool {
        self.keeps
    }

    /// What was made of a thing.
    pub(crate) fn get(&mut self, thing: &Arc<T>) -> Option<&M> {
        let kept = self.made.get_mut(&address(thing))?;
        kept.turn = self.turn;
        Some(&kept.made)
    }

    /// What was made of a thing, to be added to; nothing where nothing is kept.
    pub(crate) fn entry(&mut self, thing: &Arc<T>) -> Option<&mut M>
    where
        M: Default,
    {
        if !self.keeps {
            return None;
        }
        let new = || Kept { thing: thing.clone(), made: M::default(), turn: 0 };
        let kept = self.made.entry(address(thing)).or_insert_with(new);
        kept.turn = self.turn;
        Some(&mut kept.made)
    }

    /// Keeps what was made of a thing.
    pub(crate) fn put(&mut self, thing: &Arc<T>, made: M) {
        if self.keeps {
            let kept = Kept { thing: thing.clone(), made, turn: self.turn };
            self.made.insert(address(&kept.thing), kept);
        }
    }

    /// Forgets what was made of a thing.
    pub(crate) fn forget(&mut self, thing: &Arc<T>) {
        self.made.remove(&address(thing));
    }

    /// Forgets what was not asked for since this was called before.
    pub(crate) fn end_turn(&mut self) {
        let turn = self.turn;
        self.made.retain(|_, kept| kept.turn == turn);
        self.turn = turn.wrapping_add(1);
    }
}

/// Hashes addresses: one multiplication spreads them well enough (Fibonacci hashing; Knuth, *The Art of
/// Computer Programming* 3, 6.4).
#[derive(Clone, Copy, Debug, Default)]
struct AddressHasher(u64);

type Addresses = BuildHasherDefault<AddressHasher>;

impl Hasher for AddressHasher {
    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|byte| self.write_usize(usize::from(*byte)));
    }

    fn write_usize(&mut self, address: usize) {
        self.0 = (self.0 ^ address as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }

    fn finish(&self) -> u64 {
        self.0.rotate_left(26)
    }
}

fn address<T: ?Sized>(thing: &Arc<T>) -> usize {
    Arc::as_ptr(thing).cast::<()>() as usize
}

/// Values of which equal ones are one, so that whoever compares need not look at them. By default it
/// keeps nothing.
#[derive(Debug)]
pub(crate) struct Shared<T> {
    keeps: bool,
    /// Those of the turn before and of this one, in the order they came.
    before: Vec<Arc<T>>,
    now: Vec<Arc<T>>,
}

impl<T> Default for Shared<T> {
    fn default() -> Self {
        Self { keeps: false, before: Vec::new(), now: Vec::new() }
    }
}

impl<T: PartialEq> Shared<T> {
    /// One that keeps what it is given.
    pub(crate) fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }

    /// The one that is equal to a value.
    pub(crate) fn share(&mut self, value: T) -> Arc<T> {
        if !self.keeps {
            return Arc::new(value);
        }
        // Most come in the order they came in before.
        let same = self.before.get(self.now.len()).filter(|known| ***known == value);
        let same = same.or_else(|| self.before.iter().find(|known| ***known == value));
        let shared = same.cloned().unwrap_or_else(|| Arc::new(value));
        self.now.push(shared.clone());
        shared
    }

    /// Forgets what did not come since this was called before.
    pub(crate) fn end_turn(&mut self) {
        self.before = std::mem::take(&mut self.now);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_asked_for_is_forgotten() {
        let mut memo = Memo::keeping();
        let (one, other) = (Arc::new("one"), Arc::new("one"));
        memo.put(&one, 1);
        memo.put(&other, 2);
        assert_eq!((memo.get(&one).copied(), memo.get(&other).copied()), (Some(1), Some(2)));
        memo.end_turn();
        assert_eq!(memo.get(&one).copied(), Some(1));
        memo.end_turn();
        assert_eq!((memo.get(&one).copied(), memo.get(&other).copied()), (Some(1), None));
        let mut none = Memo::default();
        none.put(&one, 1);
        assert_eq!(none.get(&one), None);
    }

    #[test]
    fn equal_values_are_one() {
        let mut shared = Shared::keeping();
        let old = [shared.share(1), shared.share(2)];
        shared.end_turn();
        let new = [shared.share(2), shared.share(3), shared.share(1)];
        assert!(Arc::ptr_eq(&old[1], &new[0]) && Arc::ptr_eq(&old[0], &new[2]));
    }
}
