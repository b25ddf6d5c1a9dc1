//! Items that versions share, though they may stand elsewhere in each.

use std::ops::Range;
use std::sync::{Arc, OnceLock};

/// Items that come to stand elsewhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The items, by their indices in the older version.
    pub items: Range<usize>,
    /// How far.
    pub by: isize,
}

/// An item so far from where it stood.
pub type MovedItem<T> = fn(&T, isize) -> T;

/// Items that versions share. Those that stand elsewhere than where they were made are made again only when they
/// are asked for.
#[derive(Debug)]
pub(super) struct Chunk<T> {
    made: Arc<Vec<T>>,
    moved: Option<MovedChunk<T>>,
    /// How many items stand before it.
    pub(super) start: usize,
}

/// How the items of a chunk come to stand elsewhere.
#[derive(Debug)]
struct MovedChunk<T> {
    by: isize,
    item: MovedItem<T>,
    /// The items there, once they are asked for.
    here: Arc<OnceLock<Vec<T>>>,
}

impl<T> Clone for MovedChunk<T> {
    fn clone(&self) -> Self {
        Self { here: self.here.clone(), ..*self }
    }
}

impl<T> MovedChunk<T> {
    // Not a part of each place where items are gone through: most were never moved.
    #[cold]
    #[inline(never)]
    fn items(&self, made: &[T]) -> &[T] {
        self.here.get_or_init(|| made.iter().map(|own| (self.item)(own, self.by)).collect())
    }
}

impl<T> Clone for Chunk<T> {
    fn clone(&self) -> Self {
        Self { made: self.made.clone(), moved: self.moved.clone(), start: self.start }
    }
}

impl<T> Chunk<T> {
    pub(super) fn new(items: Vec<T>, start: usize) -> Self {
        Self { made: Arc::new(items), moved: None, start }
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.made.len()
    }

    /// How many items stand up to its end.
    pub(super) fn end(&self) -> usize {
        self.start + self.len()
    }

    /// Its items.
    pub(super) fn items(&self) -> &[T] {
        match &self.moved {
            None => &self.made,
            Some(moved) => moved.items(&self.made),
        }
    }

    /// Its items where they were made, wherever they stand now.
    pub(super) fn made(&self) -> &[T] {
        &self.made
    }

    /// How far they stand from where they were made.
    pub(super) fn by(&self) -> isize {
        self.moved.as_ref().map_or(0, |moved| moved.by)
    }

    /// Whether its items are the very same, wherever they stand.
    pub(super) fn shares(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.made, &other.made)
    }

    /// Whether its items are the very same at the same places.
    pub(super) fn is(&self, other: &Self) -> bool {
        self.shares(other) && self.by() == other.by()
    }

    /// The same items, of which so many come before.
    pub(super) fn after(&self, start: usize) -> Self {
        Self { start, ..self.clone() }
    }

    /// The same so much further on.
    pub(super) fn moved(&self, by: isize, item: MovedItem<T>) -> Self {
        let by = self.by() + by;
        if by == self.by() {
            return self.clone();
        }
        let moved = (by != 0).then(|| MovedChunk { by, item, here: Arc::default() });
        Self { moved, ..self.clone() }
    }
}

impl<T: Clone> Chunk<T> {
    /// Some of its items, so much further on.
    pub(super) fn copied(
        &self,
        range: Range<usize>,
        by: isize,
        item: Option<MovedItem<T>>,
    ) -> impl Iterator<Item = T> {
        let by = self.by() + by;
        let item = item.or(self.moved.as_ref().map(|moved| moved.item));
        let own = self.made.get(range).unwrap_or(&[]).iter();
        own.map(move |own| match item {
            Some(item) if by != 0 => item(own, by),
            Some(_) | None => own.clone(),
        })
    }

    /// Its items, as many as may be added to.
    pub(super) fn make_mut(&mut self) -> &mut Vec<T> {
        if self.moved.is_some() {
            *self = Self::new(self.items().to_vec(), self.start);
        }
        Arc::make_mut(&mut self.made)
    }

    /// Its items, for who needs it no more.
    pub(super) fn into_items(self) -> Vec<T> {
        match &self.moved {
            None => Arc::unwrap_or_clone(self.made),
            Some(_) => self.items().to_vec(),
        }
    }
}
