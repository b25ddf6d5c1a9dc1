//! The sequence itself.

use super::chunk::Chunk;
use std::ops::Range;

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
        chunk.items().get(index - chunk.start)
    }

    /// The item of an index where it was made, wherever it stands now.
    #[must_use]
    pub fn get_made(&self, index: usize) -> Option<&T> {
        let chunk = self.chunks.get(self.chunk_of(index)?)?;
        chunk.made().get(index - chunk.start)
    }

    /// The first item.
    #[must_use]
    pub fn first(&self) -> Option<&T> {
        self.get(0)
    }

    /// The last item.
    #[must_use]
    pub fn last(&self) -> Option<&T> {
        self.chunks.last()?.items().last()
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
        let own = first.and_then(|chunk| chunk.items().get(index - chunk.start..));
        Iter { own: own.unwrap_or(&[]).iter(), rest }
    }

    /// All items where they were made, wherever they stand now.
    pub fn made(&self) -> impl Iterator<Item = &T> {
        self.chunks.iter().flat_map(Chunk::made)
    }

    /// The items of a range where they were made, wherever they stand now.
    pub fn made_in(&self, range: Range<usize>) -> impl Iterator<Item = &T> {
        let at = self.chunk_of(range.start).unwrap_or(self.chunks.len());
        let chunks = self.chunks.get(at..).unwrap_or(&[]);
        let before = chunks.first().map_or(0, |chunk| range.start - chunk.start);
        chunks.iter().flat_map(Chunk::made).skip(before).take(range.len())
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
            Some(last) if last.len() < MOST => last.make_mut().push(item),
            Some(_) | None => self.chunks.push(Chunk::new(vec![item], self.length)),
        }
        self.length += 1;
    }

    /// Adds all items of another after its own; the chunks are shared.
    pub fn append(&mut self, other: &Self) {
        let start = self.length;
        let own = other.chunks.iter().map(|chunk| chunk.after(chunk.start + start));
        self.chunks.extend(own);
        self.length += other.length;
    }

    /// Adds a chunk after all others; an empty one is left out.
    pub(super) fn grow(&mut self, chunk: Chunk<T>) {
        if chunk.len() > 0 {
            self.length += chunk.len();
            self.chunks.push(chunk);
        }
    }

    pub(super) fn chunks(&self) -> &[Chunk<T>] {
        &self.chunks
    }

    /// The chunk an item lies in.
    pub(super) fn chunk_of(&self, index: usize) -> Option<usize> {
        let inside = index < self.length;
        inside.then(|| self.chunks.partition_point(|chunk| chunk.start <= index) - 1)
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
            rope.grow(Chunk::new(own, rope.length));
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
            items.append(&mut chunk.into_items());
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
                None => self.own = self.rest.next()?.items().iter(),
            }
        }
    }
}
