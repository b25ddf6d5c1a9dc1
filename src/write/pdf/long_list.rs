//! Lists that grow long: they grow by stretches, for to copy one as it grows takes twice its room.

use super::pack::PACKED;

/// How many are in a stretch. They fill packs.
pub(super) const STRETCH: usize = 16 * PACKED;

/// A list that only grows.
#[derive(Debug)]
pub(super) struct LongList<T> {
    /// All but the last are full.
    stretches: Vec<Vec<T>>,
}

impl<T> LongList<T> {
    /// An empty one.
    pub(super) fn new() -> Self {
        Self { stretches: vec![Vec::new()] }
    }

    /// How many it holds.
    pub(super) fn len(&self) -> usize {
        let full = self.stretches.len().saturating_sub(1);
        full * STRETCH + self.stretches.last().map_or(0, Vec::len)
    }

    /// Adds one at the end.
    pub(super) fn push(&mut self, item: T) {
        match self.stretches.last_mut().filter(|last| last.len() < STRETCH) {
            Some(last) => last.push(item),
            None => {
                let mut next = Vec::with_capacity(STRETCH);
                next.push(item);
                self.stretches.push(next);
            }
        }
    }

    /// The one of an index.
    pub(super) fn get(&self, index: usize) -> Option<&T> {
        self.stretches.get(index / STRETCH)?.get(index % STRETCH)
    }

    /// The same, to be changed.
    pub(super) fn get_mut(&mut self, index: usize) -> Option<&mut T> {
        self.stretches.get_mut(index / STRETCH)?.get_mut(index % STRETCH)
    }

    /// All in order, [`STRETCH`] at a time.
    pub(super) fn stretches(&self) -> impl Iterator<Item = &[T]> {
        self.stretches.iter().map(Vec::as_slice)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_added_stays_in_order_over_the_ends_of_stretches() {
        let mut list = LongList::new();
        assert_eq!((list.len(), list.get(0)), (0, None));
        for number in 0..2 * STRETCH + 1 {
            list.push(number);
            assert_eq!(list.len(), number + 1);
        }
        for number in [0, STRETCH - 1, STRETCH, 2 * STRETCH] {
            assert_eq!(list.get(number), Some(&number));
        }
        assert_eq!(list.get_mut(2 * STRETCH + 1), None);
        let lengths: Vec<usize> = list.stretches().map(<[usize]>::len).collect();
        assert_eq!(lengths, [STRETCH, STRETCH, 1]);
        assert!(list.stretches().flatten().copied().eq(0..2 * STRETCH + 1));
    }
}
