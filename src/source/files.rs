//! Several files in one source: their texts lie one after another, so that every byte, and with it
//! every span, says which file it is in.

use super::file::{File, FileId, Included};
use super::line_table::Lines;
use super::paths;
use super::text::{PictureFile, Source};
use crate::score::Span;
use std::sync::Arc;

impl Source {
    /// The name of the file it starts with, as shown in messages.
    pub fn name(&self) -> &str {
        self.name_of(FileId::MAIN)
    }

    /// The whole text of the file it starts with.
    pub fn text(&self) -> &str {
        self.text_of(FileId::MAIN)
    }

    /// Adds another file; spans in it follow those of the files before it.
    pub fn add(&mut self, name: impl Into<String>, text: &str) -> FileId {
        self.add_with_lines(name, text, Arc::new(Lines::of(text)))
    }

    /// The same of a file of which it is known where its lines start.
    pub(crate) fn add_with_lines(
        &mut self,
        name: impl Into<String>,
        text: &str,
        lines: Arc<Lines>,
    ) -> FileId {
        // A line end of no file, so that the end of a file and the start of the next are two bytes.
        self.text.push('\n');
        let start = self.text.len();
        self.text.push_str(text);
        Arc::make_mut(&mut self.lines).add(lines, start);
        let span = Span::new(start, self.text.len());
        self.files.push(File { name: name.into(), span });
        FileId(self.files.len() - 1)
    }

    /// How many bytes its files hold together.
    pub fn bytes(&self) -> usize {
        self.files.iter().map(|file| file.span.end() - file.span.start()).sum()
    }

    /// How many files it holds.
    pub fn files(&self) -> usize {
        self.files.len()
    }

    /// The file a byte lies in.
    pub fn file_at(&self, offset: usize) -> FileId {
        self.lines.file_at(offset)
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

    /// The path of a file named at a byte.
    pub fn path_beside(&self, offset: usize, name: &str) -> String {
        paths::beside(self.name_of(self.file_at(offset)), name)
    }

    /// Adds the bytes of a picture under its path, or says why they can't be had.
    pub fn set_picture(&mut self, path: String, picture: PictureFile) {
        self.pictures.insert(path, picture);
    }

    /// The picture of a path; nothing where pictures were never looked for.
    pub fn picture(&self, path: &str) -> Option<&PictureFile> {
        self.pictures.get(path)
    }

    /// Says what the file named at a byte came to.
    pub fn set_included(&mut self, offset: usize, included: Included) {
        self.included.insert(offset, included);
    }

    /// What the file named at a byte came to; nothing where files were never looked for.
    pub fn included(&self, offset: usize) -> Option<&Included> {
        self.included.get(&offset)
    }
}
