//! The texts the editor has open, and the books they are part of.

use super::uri;
use crate::command::args::Roots;
use crate::command::book::{Book, Shelf};
use flamacue::Stop;
use flamacue::assist::{Encoding, LineStarts};
use flamacue::font::Fonts;
use flamacue::session::Superseded;
use lsp_types::{TextDocumentContentChangeEvent, Uri};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The texts the editor has open, and the books they are part of. A text that another one includes is looked at
/// as a part of that.
pub struct Books {
    fonts: Arc<Fonts>,
    roots: Roots,
    encoding: Encoding,
    /// The texts the editor has open, by their paths.
    texts: BTreeMap<String, String>,
    /// The addresses the editor has for them.
    pub uris: BTreeMap<String, Uri>,
    /// The numbers the editor gave their states.
    pub versions: BTreeMap<String, i32>,
    books: Vec<Book>,
}

/// The path of a text the editor names, or its address where it was never saved.
pub fn key(uri: &Uri) -> String {
    uri::path(uri.as_str()).unwrap_or_else(|| uri.as_str().to_owned())
}

impl Books {
    pub fn new(fonts: Arc<Fonts>, roots: Roots, encoding: Encoding) -> Self {
        let (texts, uris, versions) = Default::default();
        Self { fonts, roots, encoding, texts, uris, versions, books: Vec::new() }
    }

    /// What columns count.
    pub fn encoding(&self) -> Encoding {
        self.encoding
    }

    pub fn open(&mut self, uri: Uri, version: i32, text: String) {
        let path = key(&uri);
        self.books.iter_mut().for_each(|book| book.set(&path, &text));
        self.versions.insert(path.clone(), version);
        self.uris.insert(path.clone(), uri);
        self.texts.insert(path, text);
    }

    /// Takes edits of an open text, one after another.
    pub fn change(
        &mut self,
        uri: &Uri,
        version: i32,
        changes: Vec<TextDocumentContentChangeEvent>,
    ) {
        let path = key(uri);
        let encoding = self.encoding;
        let Some(text) = self.texts.get_mut(&path) else { return };
        self.versions.insert(path.clone(), version);
        for change in changes {
            let Some(range) = change.range else {
                change.text.clone_into(text);
                self.books.iter_mut().for_each(|book| book.set(&path, text));
                continue;
            };
            let starts = LineStarts::of(text);
            let offset = |place| starts.offset(text, super::places::read(place), encoding);
            let start = offset(range.start);
            let range = start..offset(range.end).max(start);
            text.replace_range(range.clone(), &change.text);
            for book in &mut self.books {
                book.edit(&path, range.clone(), &change.text);
            }
        }
    }

    /// The editor has a text open no more: what is on the disk holds again.
    pub fn close(&mut self, uri: &Uri) {
        let path = key(uri);
        self.texts.remove(&path);
        self.uris.remove(&path);
        self.versions.remove(&path);
        let texts = &self.texts;
        self.books.retain(|book| {
            book.main != path && book.files().iter().any(|file| texts.contains_key(file))
        });
        self.changed_on_disk(&path);
    }

    /// A file on the disk is not as it was. What the editor has open is not looked for there.
    pub fn changed_on_disk(&mut self, path: &str) {
        if !self.texts.contains_key(path) {
            self.books.iter_mut().for_each(|book| book.forget(path));
        }
    }

    /// Files on the disk may not be as they were: those that were read are read again. Not every editor tells of
    /// them.
    pub fn look_at_disk(&mut self) {
        let texts = &self.texts;
        self.books.iter_mut().for_each(|book| book.forget_read(&|path| texts.contains_key(path)));
    }

    /// Looks at all texts after their edits, and finds which are part of which.
    pub fn update(&mut self, stop: Stop<'_>) -> Result<(), Superseded> {
        let shelf = Shelf { open: &self.texts, roots: &self.roots };
        for book in &mut self.books {
            book.update(shelf, stop)?;
        }
        for path in self.texts.keys() {
            if !self.books.iter().any(|book| book.holds(path))
                && let Some(text) = self.texts.get(path)
            {
                let mut book = Book::new(path, text, self.fonts.clone());
                let done = book.update(shelf, stop);
                self.books.push(book);
                done?;
            }
        }
        // Of two books that include each other the first stays.
        let mut kept: Vec<Book> = Vec::new();
        let mut rest = std::mem::take(&mut self.books);
        while !rest.is_empty() {
            let book = rest.remove(0);
            let mut others = kept.iter().chain(&rest);
            if !others.any(|other| other.holds(&book.main)) {
                kept.push(book);
            }
        }
        self.books = kept;
        Ok(())
    }

    /// The book of an open text.
    pub fn of(&self, path: &str) -> Option<&Book> {
        self.books.iter().find(|book| book.holds(path))
    }

    pub fn all(&self) -> &[Book] {
        &self.books
    }
}
