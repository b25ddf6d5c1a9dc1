//! The text of a file, places in it, and what is wrong with it.

mod code;
mod diagnostic;
mod encoding;
mod files;
mod nearest;
mod report;
pub mod say;

pub use crate::score::{Span, Spanned};
pub use code::Code;
pub(crate) use code::codes;
pub use diagnostic::{Diagnostic, Diagnostics, Edit, Severity};
pub use encoding::NotText;
pub use files::{FileId, Included};
pub use nearest::nearest;

use std::collections::BTreeMap;

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

/// A file of drum-text, and the files it includes.
#[derive(Clone, Debug)]
pub struct Source {
    /// All files, one after another.
    text: String,
    files: Vec<files::File>,
    /// What the file named at a byte came to.
    included: BTreeMap<usize, Included>,
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
        let span = Span::new(0, text.len());
        let main = files::File { name: name.into(), span, first_line: 0 };
        let included = BTreeMap::new();
        Self { text, files: vec![main], included, line_starts, inner_bytes }
    }

    /// The name of the file it starts with, as shown in messages.
    pub fn name(&self) -> &str {
        self.name_of(FileId::MAIN)
    }

    /// The whole text of the file it starts with.
    pub fn text(&self) -> &str {
        self.text_of(FileId::MAIN)
    }

    /// The text of a range; empty where the range does not lie in this source.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.start..span.end).unwrap_or("")
    }

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
