//! The text of a file, places in it, and what is wrong with it.

mod diagnostic;
mod encoding;
mod nearest;
mod report;

pub use diagnostic::{Diagnostic, Diagnostics, Severity};
pub use encoding::NotText;
pub use nearest::nearest;

/// A half-open range of bytes in one source text. Both ends lie on character boundaries.
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

/// A line and a column, both counted from one; a column is one character wide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Character in the line, from 1.
    pub column: usize,
}

/// One file of drum-text.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
    line_starts: Vec<usize>,
    /// Bytes that begin no character, so that columns of long lines need no counting.
    inner_bytes: Vec<usize>,
}

impl Source {
    /// Takes a text and the name it is reported under.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let line_starts =
            std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        let inner_bytes = (0..text.len()).filter(|at| !text.is_char_boundary(*at)).collect();
        Self { name: name.into(), text, line_starts, inner_bytes }
    }

    /// The name shown in messages.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text of a range; empty where the range does not lie in this source.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.start..span.end).unwrap_or("")
    }

    /// Line and column of a byte; the end of the text for any byte past it.
    pub fn place(&self, offset: usize) -> Place {
        let offset = offset.min(self.text.len());
        let line = self.line_starts.partition_point(|start| *start <= offset).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let inner = |end: usize| self.inner_bytes.partition_point(|at| *at < end);
        let column = offset - start - (inner(offset) - inner(start)) + 1;
        Place { line, column }
    }

    /// The range of a line, counted from 1, without its line end; empty where there is none.
    pub fn line(&self, number: usize) -> Span {
        let end_of_text = self.text.len();
        let start = number
            .checked_sub(1)
            .and_then(|at| self.line_starts.get(at))
            .copied()
            .unwrap_or(end_of_text);
        let end = self.line_starts.get(number).copied().unwrap_or(end_of_text);
        let line = self.text.get(start..end).unwrap_or("");
        Span::new(start, start + line.trim_end_matches(['\n', '\r']).len())
    }
}
