//! The sequence itself.

use std::ops::Range;
use std::sync::Arc;

/// Most items of a chunk: few enough to copy, and many enough that a book has some hundred chunks.
pub(super) const MOST: usize = 64;
/// Fewer items than these are joined to the next chunk.
pub(super) const FEW: usize = 16;

/// A sequence whose versions share what is alike.
#[derive(Debug)]
pub struct Rope<T> {
    /// None is empty.
    chunks: Vec<Chunk<T>>,
    length: usize,
}

/// Items that versions share.
#[derive(Debug)]
pub(super) struct Chunk<T> {
    pub(super) items: Arc<Vec<T>>,
    /// How many items stand before it.
    pub(super) start: usize,
}

impl<T> Default for Rope<T> {
    fn default() -> Self {
        Self { chunks: Vec::new(), length: 0 }
    }
}

impl<T> Clone for Rope<T> {
    fn clone(&self) -> Self {
        Self { chunks: self.chunks.clone(), length: self.length }
    }
}

impl<T> Clone for Chunk<T> {
    fn clone(&self) -> Self {
        Self { items: self.items.clone(), start: self.start }
    }
}

impl<T> Rope<T> {
    /// How many items it has.
    #[must_use]
    pub fn len(&self) -> usize {
        self.length
    }

    /// Whether it has none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.length == 0
    }

    /// The item of an index.
    #[must_use]
    pub fn get(&self, index: usize) -> Option<&T> {
        let chunk = self.chunks.get(self.chunk_of(index)?)?;
        chunk.items.get(index - chunk.start)
    }

    /// The first item.
    #[must_use]
    pub fn first(&self) -> Option<&T> {
        self.get(0)
    }

    /// The last item.
    #[must_use]
    pub fn last(&self) -> Option<&T> {
        self.chunks.last()?.items.last()
    }

    /// All items in order.
    pub fn iter(&self) -> Iter<'_, T> {
        self.iter_from(0)
    }

    /// The items from an index on.
    pub fn iter_from(&self, index: usize) -> Iter<'_, T> {
        let at = self.chunk_of(index).unwrap_or(self.chunks.len());
        let mut rest = self.chunks.get(at..).unwrap_or(&[]).iter();
        let first = rest.next();
        let own = first.and_then(|chunk| chunk.items.get(index - chunk.start..));
        Iter { own: own.unwrap_or(&[]).iter(), rest }
    }

    /// The items of a range.
    pub fn range(&self, range: Range<usize>) -> impl Iterator<Item = &T> {
        self.iter_from(range.start).take(range.len())
    }

    /// Adds an item after all others.
    pub fn push(&mut self, item: T)
    where
        T: Clone,
    {
        match self.chunks.last_mut() {
            Some(last) if last.items.len() < MOST => Arc::make_mut(&mut last.items).push(item),
            Some(_) | None => {
                let start = self.length;
                self.chunks.push(Chunk { items: Arc::new(vec![item]), start });
            }
        }
        self.length += 1;
    }

    /// Adds all items of another after its own; the chunks are shared.
    pub fn append(&mut self, other: &Self) {
        let start = self.length;
        let moved = |chunk: &Chunk<T>| Chunk { start: chunk.start + start, ..chunk.clone() };
        self.chunks.extend(other.chunks.iter().map(moved));
        self.length += other.length;
    }

    pub(super) fn grow(&mut self, chunk: Chunk<T>) {
        self.length += chunk.items.len();
        self.chunks.push(chunk);
    }

    pub(super) fn chunks(&self) -> &[Chunk<T>] {
        &self.chunks
    }

    /// The chunk an item lies in.
    fn chunk_of(&self, index: usize) -> Option<usize> {
        let inside = index < self.length;
        inside.then(|| self.chunks.partition_point(|chunk| chunk.start <= index) - 1)
    }
}

impl<T> Chunk<T> {
    /// How many items stand up to its end.
    pub(super) fn end(&self) -> usize {
        self.start + self.items.len()
    }
}

impl<T> From<Vec<T>> for Rope<T> {
    fn from(items: Vec<T>) -> Self {
        items.into_iter().collect()
    }
}

impl<T> FromIterator<T> for Rope<T> {
    fn from_iter<I: IntoIterator<Item = T>>(items: I) -> Self {
        let (mut items, mut rope) = (items.into_iter().peekable(), Self::default());
        while items.peek().is_some() {
            let own: Vec<T> = items.by_ref().take(MOST).collect();
            let start = rope.length;
            rope.length += own.len();
            rope.chunks.push(Chunk { items: Arc::new(own), start });
        }
        rope
    }
}

impl<T: Clone> IntoIterator for Rope<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        let mut items = Vec::with_capacity(self.length);
        for chunk in self.chunks {
            items.append(&mut Arc::unwrap_or_clone(chunk.items));
        }
        items.into_iter()
    }
}

impl<'a, T> IntoIterator for &'a Rope<T> {
    type Item = &'a T;
    type IntoIter = Iter<'a, T>;

    fn into_iter(self) -> Iter<'a, T> {
        self.iter()
    }
}

/// The items of a rope in order.
#[derive(Debug)]
pub struct Iter<'a, T> {
    own: std::slice::Iter<'a, T>,
    rest: std::slice::Iter<'a, Chunk<T>>,
}

impl<T> Clone for Iter<'_, T> {
    fn clone(&self) -> Self {
        Self { own: self.own.clone(), rest: self.rest.clone() }
    }
}

impl<'a, T> Iterator for Iter<'a, T> {
    type Item = &'a T;

    fn next(&mut self) -> Option<&'a T> {
        loop {
            match self.own.next() {
                Some(item) => return Some(item),
                None => self.own = self.rest.next()?.items.iter(),
            }
        }
    }
}
