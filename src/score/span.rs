//! Places in a text.

use std::sync::Arc;

/// A half-open range of bytes. In a block it counts from the first byte of the block's head line, and in
/// prose from its own first byte, so that each is the same wherever it stands; elsewhere from the start
/// of the source, whose files lie one after another. Both ends lie on character boundaries.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// The range from `start` up to `end`.
    pub fn new(start: usize, end: usize) -> Self {
        Self { start, end }
    }

    /// The same range counted from a byte that lies `by` bytes further forward.
    #[must_use]
    pub fn moved(self, by: usize) -> Self {
        Self { start: self.start.saturating_add(by), end: self.end.saturating_add(by) }
    }

    /// The smallest range that holds both.
    pub fn join(self, other: Self) -> Self {
        Self { start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}

/// A value with the place it was written at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// A value written at `span`.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// Something that is the same wherever it stands, and where it stands.
#[derive(Debug)]
pub struct Placed<T: ?Sized> {
    /// It, with its places counted from its own first byte.
    pub value: Arc<T>,
    /// Its first byte, from the start of the source.
    pub at: usize,
}

impl<T: ?Sized> Placed<T> {
    /// It stands at a byte.
    pub fn new(value: impl Into<Arc<T>>, at: usize) -> Self {
        Self { value: value.into(), at }
    }

    /// The same so many bytes further on.
    #[must_use]
    pub fn moved(&self, by: isize) -> Self {
        Self { value: self.value.clone(), at: self.at.saturating_add_signed(by) }
    }
}

impl<T: ?Sized> Clone for Placed<T> {
    fn clone(&self) -> Self {
        Self { value: self.value.clone(), at: self.at }
    }
}

impl<T: ?Sized> std::ops::Deref for Placed<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}
