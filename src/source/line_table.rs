//! Where the lines of a source start.

use super::file::FileId;

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

/// The starts of files and lines, which is all it takes to say where a byte stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LineTable {
    /// Bytes in all.
    length: usize,
    /// The first byte and the number of the first line of each file, from zero.
    files: Vec<(usize, usize)>,
    starts: Vec<usize>,
    /// Bytes that begin no character, so that columns of long lines need no counting.
    inner_bytes: Vec<usize>,
}

impl LineTable {
    /// Adds the text of a file that starts at a byte.
    pub(super) fn add(&mut self, text: &str, start: usize) {
        self.files.push((start, self.starts.len()));
        self.starts.push(start);
        self.starts.extend(text.match_indices('\n').map(|(at, _)| start + at + 1));
        if !text.is_ascii() {
            let inner = (0..text.len()).filter(|at| !text.is_char_boundary(*at));
            self.inner_bytes.extend(inner.map(|at| start + at));
        }
        self.length = start + text.len();
    }

    /// The file a byte lies in.
    #[must_use]
    pub fn file_at(&self, offset: usize) -> FileId {
        FileId(self.files.partition_point(|(start, _)| *start <= offset).saturating_sub(1))
    }

    /// File, line and column of a byte; the end of the last file for any byte past it.
    #[must_use]
    pub fn location(&self, offset: usize) -> Location {
        let offset = offset.min(self.length);
        let file = self.file_at(offset);
        let first_line = self.files.get(file.0).map_or(0, |(_, line)| *line);
        let line = self.line_at(offset);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let inner = |end: usize| self.inner_bytes.partition_point(|at| *at < end);
        let column = offset - start - (inner(offset) - inner(start)) + 1;
        Location { file, line: line - first_line.min(line - 1), column }
    }

    /// The number of the line a byte lies in among all lines, from 1.
    fn line_at(&self, offset: usize) -> usize {
        self.starts.partition_point(|start| *start <= offset).max(1)
    }

    /// The first byte of the line a byte lies in, and one past its last with its line end.
    pub(super) fn line(&self, offset: usize) -> (usize, usize) {
        let number = self.line_at(offset);
        let start = self.starts.get(number - 1).copied().unwrap_or(self.length);
        (start, self.starts.get(number).copied().unwrap_or(self.length))
    }
}
