//! Places in a text.

use std::ops::Range;
use std::sync::Arc;

/// A half-open range of bytes. In a block it counts from the first byte of the block's head line, and in
/// prose from its own first byte, so that each is the same wherever it stands; elsewhere from the start
/// of the source, whose files lie one after another. Both ends lie on character boundaries.
///
/// Its numbers are of 32 bits, as a book has hundreds of thousands of them. All files of a text together hold a hundredth
/// of what such a number counts; in a longer text, a place that lies behind that is said to lie there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    start: u32,
    end: u32,
}

impl Span {
    /// The range from `start` up to `end`.
    pub fn new(start: usize, end: usize) -> Self {
        Self { start: small(start), end: small(end) }
    }

    /// First byte.
    pub fn start(self) -> usize {
        self.start as usize
    }

    /// One past the last byte.
    pub fn end(self) -> usize {
        self.end as usize
    }

    /// The same as a range.
    pub fn range(self) -> Range<usize> {
        self.start()..self.end()
    }

    /// Whether a byte is one of its own.
    pub fn holds(self, byte: usize) -> bool {
        self.range().contains(&byte)
    }

    /// Whether a cursor before a byte stands in it or at its end.
    pub fn touches(self, byte: usize) -> bool {
        (self.start()..=self.end()).contains(&byte)
    }

    /// The same range counted from a byte that lies `by` bytes further forward.
    #[must_use]
    pub fn moved(self, by: usize) -> Self {
        Self::new(self.start().saturating_add(by), self.end().saturating_add(by))
    }

    /// The smallest range that holds both.
    #[must_use]
    pub fn join(self, other: Self) -> Self {
        Self { start: self.start.min(other.start), end: self.end.max(other.end) }
    }
}

fn small(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX)
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
