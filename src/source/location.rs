//! Lines and columns of a source.

use super::file::FileId;
use super::text::Source;
use crate::score::Span;

/// A file, and a line and a column in it, both counted from one; a column is one character wide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Location {
    /// Which file.
    pub file: FileId,
    /// Line, from 1.
    pub line: usize,
    /// Character in the line, from 1.
    pub column: usize,
}

impl Source {
    /// File, line and column of a byte; the end of the last file for any byte past it.
    pub fn location(&self, offset: usize) -> Location {
        let offset = offset.min(self.text.len());
        let file = self.file_at(offset);
        let first_line = self.files.get(file.0).map_or(0, |file| file.first_line);
        let line = self.line_starts.partition_point(|start| *start <= offset).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let inner = |end: usize| self.inner_bytes.partition_point(|at| *at < end);
        let column = offset - start - (inner(offset) - inner(start)) + 1;
        Location { file, line: line - first_line.min(line - 1), column }
    }

    /// File, line and column of a byte as a report names them: `two.flam:3:1`.
    pub fn named_location(&self, offset: usize) -> String {
        let Location { file, line, column } = self.location(offset);
        format!("{}:{line}:{column}", self.name_of(file))
    }

    /// The range of the line a byte lies in, without its line end.
    pub fn line_at(&self, offset: usize) -> Span {
        let number = self.line_starts.partition_point(|start| *start <= offset).max(1);
        let end_of_text = self.text.len();
        let start = self.line_starts.get(number - 1).copied().unwrap_or(end_of_text);
        let next = self.line_starts.get(number).copied().unwrap_or(end_of_text);
        let end = next.min(self.span_of(self.file_at(start)).end);
        let line = self.text.get(start..end).unwrap_or("");
        Span::new(start, start + line.trim_end_matches(['\n', '\r']).len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_knows_its_file() {
        let mut source = Source::new("one", "a\nbé\n");
        let two = source.add("two", "é\nx");
        let three = source.add("three", "");
        assert_eq!((two, three, source.files()), (FileId(1), FileId(2), 3));
        assert_eq!(source.text(), "a\nbé\n");
        assert_eq!(source.text_of(two), "é\nx");
        assert_eq!(source.text_of(three), "");
        let x = source.span_of(two).start + 3;
        assert_eq!(source.named_location(x), "two:2:1");
        assert_eq!(source.named_location(source.span_of(two).start + 2), "two:1:2");
        // The end of a file is in that file.
        assert_eq!(source.named_location(source.span_of(FileId::MAIN).end), "one:3:1");
        assert_eq!(source.named_location(source.span_of(three).start), "three:1:1");
        assert_eq!(source.named_location(usize::MAX), "three:1:1");
        assert_eq!(source.slice(source.line_at(x)), "x");
    }
}
