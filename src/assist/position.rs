//! Lines and columns as editors count them.

use std::ops::Range;

/// What a column counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Encoding {
    /// Bytes of UTF-8.
    Utf8,
    /// Units of UTF-16, of which a character outside the Basic Multilingual Plane has two.
    #[default]
    Utf16,
}

/// A place in a text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// The line, from 0.
    pub line: usize,
    /// The column, from 0, in the units of an [`Encoding`].
    pub column: usize,
}

/// Where the lines of a text start. As editors have it, a carriage return alone ends a line too (Language
/// Server Protocol 3.17, "Text Documents").
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineStarts(Vec<usize>);

impl LineStarts {
    /// Those of a text.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let bytes = text.as_bytes();
        let ends = |(at, byte): (usize, &u8)| match byte {
            b'\n' => Some(at + 1),
            b'\r' if bytes.get(at + 1) != Some(&b'\n') => Some(at + 1),
            _ => None,
        };
        Self(std::iter::once(0).chain(bytes.iter().enumerate().filter_map(ends)).collect())
    }

    /// How many lines there are; at least one.
    #[must_use]
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// The bytes of a line without its end; empty past the last.
    #[must_use]
    pub fn line(&self, text: &str, line: usize) -> Range<usize> {
        let Some(&start) = self.0.get(line) else { return text.len()..text.len() };
        let end = self.0.get(line + 1).copied().unwrap_or(text.len());
        let whole = text.get(start..end).unwrap_or("");
        start..start + whole.trim_end_matches(['\n', '\r']).len()
    }

    /// Where a byte of the text stands; a byte inside a character or a line end counts as its start.
    #[must_use]
    pub fn position(&self, text: &str, offset: usize, encoding: Encoding) -> Position {
        let line = self.0.partition_point(|start| *start <= offset).saturating_sub(1);
        let Range { start, end } = self.line(text, line);
        let mut offset = offset.clamp(start, end.max(start));
        while !text.is_char_boundary(offset) {
            offset -= 1;
        }
        let before = text.get(start..offset).unwrap_or("");
        let column = match encoding {
            Encoding::Utf8 => before.len(),
            Encoding::Utf16 => before.encode_utf16().count(),
        };
        Position { line, column }
    }

    /// The byte at a place. A column past the end of its line is that end, a line past the last the end of the
    /// text, and a column inside a character the start of it.
    #[must_use]
    pub fn offset(&self, text: &str, position: Position, encoding: Encoding) -> usize {
        let Range { start, end } = self.line(text, position.line);
        let line = text.get(start..end).unwrap_or("");
        let mut column = 0;
        for (at, c) in line.char_indices() {
            column += match encoding {
                Encoding::Utf8 => c.len_utf8(),
                Encoding::Utf16 => c.len_utf16(),
            };
            if column > position.column {
                return start + at;
            }
        }
        end
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_what_the_editor_counts() {
        let text = "\tß🥁e\u{301}x\r\nb\rc\n";
        let starts = LineStarts::of(text);
        assert_eq!(starts.count(), 4);
        let x = text.find('x').expect("an x");
        assert_eq!(starts.position(text, x, Encoding::Utf8), Position { line: 0, column: x });
        assert_eq!(starts.position(text, x, Encoding::Utf16), Position { line: 0, column: 6 });
        let c = text.find('c').expect("a c");
        assert_eq!(starts.position(text, c, Encoding::Utf16), Position { line: 2, column: 0 });
        for (offset, _) in text.char_indices().filter(|(_, c)| !matches!(c, '\r' | '\n')) {
            for encoding in [Encoding::Utf8, Encoding::Utf16] {
                let position = starts.position(text, offset, encoding);
                assert_eq!(starts.offset(text, position, encoding), offset);
            }
        }
        // In the middle of the drum, past the end of a line, past the last line.
        let at = |line, column| starts.offset(text, Position { line, column }, Encoding::Utf16);
        assert_eq!(at(0, 3), text.find('🥁').expect("a drum"));
        assert_eq!(at(0, 99), text.find('\r').expect("an end"));
        assert_eq!(at(9, 0), text.len());
    }
}
