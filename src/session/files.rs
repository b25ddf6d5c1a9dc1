//! The files of a text, each as text and as tree.

use super::error::EditError;
use crate::source::{Diagnostics, FileId, Lines, Source};
use crate::syntax::tree::Document;
use crate::syntax::{self, Change, EditedFile, GatheredFile, IncludedNames};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

/// A file.
#[derive(Debug)]
struct File {
    text: String,
    tree: EditedFile,
    /// Where its lines start.
    lines: Arc<Lines>,
    /// The files it includes.
    included: IncludedNames,
}

impl File {
    fn new(text: String) -> Self {
        let (tree, included) = (EditedFile::read(&text), IncludedNames::of(&text));
        Self { tree, lines: Arc::new(Lines::of(&text)), included, text }
    }
}

/// The file a text starts with, and all others it may include.
#[derive(Debug)]
pub(super) struct Files {
    main: String,
    /// By the paths they are included under.
    files: BTreeMap<String, File>,
    /// Pictures by the paths they are shown under.
    pictures: BTreeMap<String, Arc<[u8]>>,
    /// Why files can't be read, by the paths they are included under.
    refused: BTreeMap<String, String>,
}

impl Files {
    pub(super) fn new(name: String, text: String) -> Self {
        let files = BTreeMap::from([(name.clone(), File::new(text))]);
        Self { main: name, files, pictures: BTreeMap::new(), refused: BTreeMap::new() }
    }

    pub(super) fn text(&self, name: &str) -> Option<&str> {
        self.files.get(name).map(|file| file.text.as_str())
    }

    /// Puts a file in place of the one of its name.
    pub(super) fn set(&mut self, name: String, text: String) {
        self.refused.remove(&name);
        self.files.insert(name, File::new(text));
    }

    /// Says why a file can't be read.
    pub(super) fn refuse(&mut self, name: String, why: String) {
        self.files.remove(&name);
        self.refused.insert(name, why);
    }

    /// Puts a picture in place of the one of its name.
    pub(super) fn set_picture(&mut self, name: String, bytes: Arc<[u8]>) {
        self.pictures.insert(name, bytes);
    }

    /// Takes a file away; the one the text starts with stays, empty.
    pub(super) fn remove(&mut self, name: &str) {
        if name == self.main {
            self.set(name.to_owned(), String::new());
        } else {
            self.files.remove(name);
            self.pictures.remove(name);
            self.refused.remove(name);
        }
    }

    pub(super) fn edit(
        &mut self,
        name: &str,
        range: Range<usize>,
        text: &str,
    ) -> Result<(), EditError> {
        let file = self.files.get_mut(name).ok_or(EditError::NoFile)?;
        file.text.get(range.clone()).ok_or(EditError::NoRange)?;
        file.text.replace_range(range.clone(), text);
        Arc::make_mut(&mut file.lines).edit(&file.text, &range, text.len());
        file.included.edit(&file.text, &range, text.len());
        file.tree.edit(&file.text, &Change { range, bytes: text.len() });
        Ok(())
    }

    /// All files in one source, and the paths of those that are included and of which nothing is known.
    pub(super) fn source(&self) -> (Source, Vec<String>) {
        let (name, unknown) = (self.main.clone(), RefCell::new(Vec::new()));
        let (source, names) = match self.files.get(&self.main) {
            Some(File { text, lines, included, .. }) => {
                (Source::with_lines(name, text.clone(), lines.clone()), included.clone())
            }
            None => (Source::new(name, ""), IncludedNames::default()),
        };
        let mut source = syntax::gather_known(source, names, &|path| {
            if let Some(File { text, lines, included, .. }) = self.files.get(path) {
                return Ok(GatheredFile::known(text, lines.clone(), included.clone()));
            }
            Err(self.refused.get(path).cloned().unwrap_or_else(|| {
                unknown.borrow_mut().push(path.to_owned());
                "there is no such file or folder".to_owned()
            }))
        });
        for (path, bytes) in &self.pictures {
            source.set_picture(path.clone(), Ok(bytes.clone()));
        }
        (source, unknown.into_inner())
    }

    /// The tree of all files in a source of them.
    pub(super) fn document(&mut self, source: &Source, diagnostics: &mut Diagnostics) -> Document {
        let mut read = |file: FileId, diagnostics: &mut Diagnostics| {
            let start = source.span_of(file).start();
            match self.files.get_mut(source.name_of(file)) {
                Some(file) => file.tree.items(start, diagnostics),
                None => EditedFile::read(source.text_of(file)).items(start, diagnostics),
            }
        };
        syntax::join(source, &mut read, diagnostics)
    }
}
