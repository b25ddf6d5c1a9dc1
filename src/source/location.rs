//! Lines and columns of a source.

use super::line_table::Location;
use super::text::Source;
use crate::score::Span;

impl Source {
    /// File, line and column of a byte; the end of the last file for any byte past it.
    pub fn location(&self, offset: usize) -> Location {
        self.lines.location(offset)
    }

    /// File, line and column of a byte as a report names them: `two.flam:3:1`.
    pub fn named_location(&self, offset: usize) -> String {
        let Location { file, line, column } = self.location(offset);
        format!("{}:{line}:{column}", self.name_of(file))
    }

    /// The range of the line a byte lies in, without its line end.
    pub fn line_at(&self, offset: usize) -> Span {
        let (start, next) = self.lines.line(offset);
        let end = next.min(self.span_of(self.file_at(start)).end());
        let line = self.text.get(start..end).unwrap_or("");
        Span::new(start, start + line.trim_end_matches(['\n', '\r']).len())
    }
}

#[cfg(test)]
mod tests {
    use crate::source::{FileId, Source};

    #[test]
    fn every_byte_knows_its_file() {
        let mut source = Source::new("one", "a\nbé\n");
        let two = source.add("two", "é\nx");
        let three = source.add("three", "");
        assert_eq!((two, three, source.files()), (FileId(1), FileId(2), 3));
        assert_eq!(source.text(), "a\nbé\n");
        assert_eq!(source.text_of(two), "é\nx");
        assert_eq!(source.text_of(three), "");
        let x = source.span_of(two).start() + 3;
        assert_eq!(source.named_location(x), "two:2:1");
        assert_eq!(source.named_location(source.span_of(two).start() + 2), "two:1:2");
        // The end of a file is in that file.
        assert_eq!(source.named_location(source.span_of(FileId::MAIN).end()), "one:3:1");
        assert_eq!(source.named_location(source.span_of(three).start()), "three:1:1");
        assert_eq!(source.named_location(usize::MAX), "three:1:1");
        assert_eq!(source.slice(source.line_at(x)), "x");
    }
}
