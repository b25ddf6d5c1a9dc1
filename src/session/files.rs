//! The files of a text, each as text and as tree.

use super::error::EditError;
use crate::source::{Diagnostics, FileId, Source};
use crate::syntax::tree::Document;
use crate::syntax::{self, Change, FileTree};
use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;

/// A file.
#[derive(Debug, Default)]
struct File {
    text: String,
    tree: FileTree,
}

impl File {
    fn new(text: String) -> Self {
        Self { tree: FileTree::read(&text), text }
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
        file.tree.edit(&file.text, &Change { range, bytes: text.len() });
        Ok(())
    }

    /// All files in one source, and the paths of those that are included and of which nothing is known.
    pub(super) fn source(&self) -> (Source, Vec<String>) {
        let main = self.text(&self.main).unwrap_or_default();
        let source = Source::new(self.main.clone(), main);
        let unknown = RefCell::new(Vec::new());
        let mut source = syntax::gather(source, &|path| {
            if let Some(file) = self.files.get(path) {
                return Ok(file.text.clone());
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
    pub(super) fn document(&self, source: &Source, diagnostics: &mut Diagnostics) -> Document {
        let tree = |file: FileId| match self.files.get(source.name_of(file)) {
            Some(file) => Cow::Borrowed(&file.tree),
            None => Cow::Owned(FileTree::read(source.text_of(file))),
        };
        syntax::join(source, &tree, diagnostics)
    }
}
