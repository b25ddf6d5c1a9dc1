//! Lines of prose on their way to being read.

use crate::source::Span;
use crate::syntax::grammar::Piece;
use std::ops::Range;

/// Lines of prose as one text, and where each stands in the source.
#[derive(Debug, Default)]
pub struct ProseText {
    text: String,
    /// Where each line starts, in the text and in the source.
    starts: Vec<(usize, usize)>,
}

impl ProseText {
    /// Takes one more line.
    pub fn push(&mut self, line: Piece<'_>) {
        if !self.starts.is_empty() {
            self.text.push('\n');
        }
        self.starts.push((self.text.len(), line.start));
        self.text.push_str(line.text);
    }

    /// A line after a sign that stands in no source.
    pub fn after(sign: &str, line: Piece<'_>) -> Self {
        Self { text: format!("{sign}{}", line.text), starts: vec![(sign.len(), line.start)] }
    }

    /// Its lines.
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// The byte of the source its first line starts at.
    pub fn start(&self) -> usize {
        self.starts.first().map_or(0, |(_, source)| *source)
    }

    /// The byte of the source for a byte of the text.
    pub fn at(&self, offset: usize) -> usize {
        let line = self.starts.partition_point(|(start, _)| *start <= offset);
        let line = line.checked_sub(1).and_then(|line| self.starts.get(line));
        line.map_or(self.start(), |(text, source)| source + (offset - text))
    }

    /// The range of the source for a range of the text, without the white space at its end.
    pub fn span(&self, range: &Range<usize>) -> Span {
        let words = self.text.get(range.clone()).unwrap_or("").trim_end();
        let start = self.at(range.start);
        let last = words.len().checked_sub(1).map(|last| self.at(range.start + last) + 1);
        Span::new(start, last.unwrap_or(start))
    }
}
