//! Where the lines of a source start.

use super::file::FileId;
use std::ops::Range;
use std::sync::Arc;

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
    files: Vec<FileLines>,
}

/// The lines of a file, and its first byte.
#[derive(Clone, Debug, PartialEq, Eq)]
struct FileLines {
    start: usize,
    lines: Arc<Lines>,
}

/// Where the lines of a text start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lines {
    /// Bytes in all.
    bytes: usize,
    starts: Vec<usize>,
    /// Bytes that begin no character, so that columns of long lines need no counting.
    inner_bytes: Vec<usize>,
}

impl Lines {
    /// Those of a text.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let mut lines = Self { bytes: text.len(), starts: vec![0], inner_bytes: Vec::new() };
        lines.starts.extend(starts(text, 0));
        lines.inner_bytes.extend(inner_bytes(text, 0));
        lines
    }

    /// Takes a change of the text, in which so many bytes were put in the place of a range; `text` is the whole
    /// text after it.
    pub fn edit(&mut self, text: &str, range: &Range<usize>, bytes: usize) {
        let new = range.start..range.start + bytes;
        let own = text.get(new.clone()).unwrap_or("");
        let more = bytes as isize - range.len() as isize;
        // A line starts after the byte that ends the one before.
        replace(&mut self.starts, range.start + 1..range.end + 1, starts(own, new.start), more);
        replace(&mut self.inner_bytes, range.clone(), inner_bytes(own, new.start), more);
        self.bytes = text.len();
    }

    /// The number of the line a byte lies in, from 1.
    fn line_at(&self, offset: usize) -> usize {
        self.starts.partition_point(|start| *start <= offset).max(1)
    }
}

/// Where lines start in a text that stands at a byte, but for its first.
fn starts(text: &str, at: usize) -> impl Iterator<Item = usize> {
    text.match_indices('\n').map(move |(end, _)| at + end + 1)
}

/// The bytes that begin no character in a text that stands at a byte.
fn inner_bytes(text: &str, at: usize) -> impl Iterator<Item = usize> {
    let some = if text.is_ascii() { "" } else { text };
    (0..some.len()).filter(|byte| !some.is_char_boundary(*byte)).map(move |byte| at + byte)
}

/// Puts others in the place of those of a range, and moves those after it by so many.
fn replace(
    places: &mut Vec<usize>,
    range: Range<usize>,
    new: impl Iterator<Item = usize>,
    more: isize,
) {
    let from = places.partition_point(|place| *place < range.start);
    let to = places.partition_point(|place| *place < range.end).max(from);
    if more != 0 {
        let after = places.iter_mut().skip(to);
        after.for_each(|place| *place = place.saturating_add_signed(more));
    }
    drop(places.splice(from..to, new));
}

impl LineTable {
    /// Adds the lines of a file that starts at a byte.
    pub(super) fn add(&mut self, lines: Arc<Lines>, start: usize) {
        self.files.push(FileLines { start, lines });
    }

    /// The file a byte lies in.
    #[must_use]
    pub fn file_at(&self, offset: usize) -> FileId {
        FileId(self.files.partition_point(|file| file.start <= offset).saturating_sub(1))
    }

    /// File, line and column of a byte; the end of the last file for any byte past it.
    #[must_use]
    pub fn location(&self, offset: usize) -> Location {
        let end = self.files.last().map_or(0, |last| last.start + last.lines.bytes);
        let offset = offset.min(end);
        let file = self.file_at(offset);
        let Some(FileLines { start, lines }) = self.files.get(file.0) else {
            return Location { file, line: 1, column: 1 };
        };
        let offset = offset.saturating_sub(*start);
        let line = lines.line_at(offset);
        let start = lines.starts.get(line - 1).copied().unwrap_or(0);
        let inner = |end: usize| lines.inner_bytes.partition_point(|at| *at < end);
        let column = offset - start - (inner(offset) - inner(start)) + 1;
        Location { file, line, column }
    }

    /// The first byte of the line a byte lies in, and one past its last with its line end.
    pub(super) fn line(&self, offset: usize) -> (usize, usize) {
        let Some(FileLines { start, lines }) = self.files.get(self.file_at(offset).0) else {
            return (0, 0);
        };
        let number = lines.line_at(offset.saturating_sub(*start));
        let at = |line: usize| lines.starts.get(line).copied().unwrap_or(lines.bytes);
        (start + at(number - 1), start + at(number))
    }
}

#[cfg(test)]
mod tests {
    use super::Lines;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn lines_of_an_edited_text_are_those_of_the_text(
            pieces in prop::collection::vec("[a\né€]{0,6}", 3..4),
            new in "[b\né€]{0,6}",
        ) {
            let before = pieces.concat();
            let range = pieces[0].len()..pieces[0].len() + pieces[1].len();
            let after = [&pieces[0], &new, &pieces[2]].map(String::as_str).concat();
            let mut lines = Lines::of(&before);
            lines.edit(&after, &range, new.len());
            prop_assert_eq!(lines, Lines::of(&after));
        }
    }
}
