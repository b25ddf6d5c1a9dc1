//! Several files in one source: their texts lie one after another, so that every byte, and with it
//! every span, says which file it is in.

use super::{Location, Source, Span};

/// One file of a source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FileId(pub usize);

impl FileId {
    /// The file a source starts with.
    pub const MAIN: Self = Self(0);
}

/// A file's place in the joined text.
#[derive(Clone, Debug)]
pub(super) struct File {
    pub(super) name: String,
    pub(super) span: Span,
    /// The index of its first line among all lines.
    pub(super) first_line: usize,
}

/// What a file named in an `include` line came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Included {
    /// It is part of the source.
    File(FileId),
    /// It is not, and why: one sentence, and the mend.
    Refused(String, String),
}

impl Source {
    /// Adds another file; spans in it follow those of the files before it.
    pub fn add(&mut self, name: impl Into<String>, text: &str) -> FileId {
        // A line end of no file, so that the end of a file and the start of the next are two bytes.
        self.text.push('\n');
        let start = self.text.len();
        self.text.push_str(text);
        let first_line = self.line_starts.len();
        self.line_starts.push(start);
        self.line_starts.extend(text.match_indices('\n').map(|(at, _)| start + at + 1));
        let inner = (0..text.len()).filter(|at| !text.is_char_boundary(*at));
        self.inner_bytes.extend(inner.map(|at| start + at));
        let span = Span::new(start, self.text.len());
        self.files.push(File { name: name.into(), span, first_line });
        FileId(self.files.len() - 1)
    }

    /// How many files it holds.
    pub fn files(&self) -> usize {
        self.files.len()
    }

    /// The file a byte lies in.
    pub fn file_at(&self, offset: usize) -> FileId {
        FileId(self.files.partition_point(|file| file.span.start <= offset).saturating_sub(1))
    }

    /// The name a file is reported under.
    pub fn name_of(&self, file: FileId) -> &str {
        self.files.get(file.0).map_or("", |file| file.name.as_str())
    }

    /// Where a file lies in the joined text; empty where there is no such file.
    pub fn span_of(&self, file: FileId) -> Span {
        self.files.get(file.0).map(|file| file.span).unwrap_or_default()
    }

    /// The text of one file.
    pub fn text_of(&self, file: FileId) -> &str {
        self.slice(self.span_of(file))
    }

    /// Says what the file named at a byte came to.
    pub fn set_included(&mut self, offset: usize, included: Included) {
        self.included.insert(offset, included);
    }

    /// What the file named at a byte came to; nothing where files were never looked for.
    pub fn included(&self, offset: usize) -> Option<&Included> {
        self.included.get(&offset)
    }

    /// File, line and column of a byte as a report names them: `two.flam:3:1`.
    pub fn named_location(&self, offset: usize) -> String {
        let Location { file, line, column } = self.location(offset);
        format!("{}:{line}:{column}", self.name_of(file))
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
