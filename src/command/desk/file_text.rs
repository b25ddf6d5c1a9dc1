//! A text that is a file of this machine, and what it came to.

use super::line_ends::Form;
use super::news::News;
use super::outside::Outside;
use super::saved::Saved;
use crate::command::args::Roots;
use crate::command::book::{Book, Shelf};
use crate::command::files::Reader;
use crate::command::outcome::Failure;
use crate::command::reading::Kind;
use crate::command::report::shown;
use crate::command::writing;
use flamacue::assist::Finding;
use flamacue::desk::OpenText;
use flamacue::font::Fonts;
use flamacue::session::Session;
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A text that is written on the desk and lies in a file.
pub struct FileText {
    path: PathBuf,
    roots: Roots,
    book: Book,
    form: Form,
    /// What the file held when it was read or written last; nothing where it is gone.
    disk: Option<Vec<u8>>,
    outside: Outside,
    /// Whether the file has the text.
    saved: bool,
}

impl FileText {
    /// Reads a file.
    pub fn open(file: &Path, roots: &Roots) -> Result<Self, Failure> {
        let path = std::path::absolute(file)
            .map_err(|e| Failure(format!("can't read {}: {e}", shown(file))))?;
        let bytes = Reader::new(roots).named(&path, Kind::Text)?;
        let cannot = || {
            let why = "it is not UTF-8 text; save it as UTF-8 in your editor";
            Failure(format!("can't read {}: {why}", shown(file)))
        };
        let (text, form) = Form::read(str::from_utf8(&bytes).map_err(|_| cannot())?);
        let fonts = Arc::new(Fonts::built_in().map_err(Failure::new)?);
        let book = Book::new(&path.to_string_lossy(), &text, fonts);
        let roots = Roots { root: roots.root.clone() };
        let (disk, outside) = (Some(bytes), Outside::default());
        Ok(Self { path, roots, book, form, disk, outside, saved: true })
    }

    /// Writes the text to its file, or says why not. Where another program changed the file, it is left alone,
    /// but where it is to be written over.
    pub fn save(&mut self, over: bool) -> Saved {
        let now = std::fs::read(&self.path).ok();
        if now != self.disk && !over {
            return Saved { changed: true, ..Saved::default() };
        }
        let bytes = self.form.write(self.text());
        let written = match &now {
            Some(before) if *before == bytes => Ok(()),
            Some(before) => writing::rewrite(&self.path, before, &bytes),
            None => writing::restore(&self.path, &bytes),
        };
        match written {
            Ok(()) => {
                self.disk = Some(bytes);
                self.outside.changed([self.path.clone()]);
                self.saved = true;
                Saved { saved: true, ..Saved::default() }
            }
            Err(Failure(why)) => Saved { why: Some(why), ..Saved::default() },
        }
    }

    /// Looks whether files were changed by other programs.
    pub fn look_outside(&mut self) -> Option<News> {
        let files = self.book.files().into_iter().map(PathBuf::from);
        let sought = self.book.sought().into_iter().map(PathBuf::from);
        let all: Vec<PathBuf> = files.chain(sought).chain([self.path.clone()]).collect();
        let changed = self.outside.changed(all);
        let beside: Vec<&PathBuf> = changed.iter().filter(|file| **file != self.path).collect();
        for file in &beside {
            self.book.forget(&file.to_string_lossy());
        }
        let mut news = News::default();
        if changed.contains(&self.path) {
            let now = std::fs::read(&self.path).ok();
            news.gone = now.is_none();
            news.file = now != self.disk;
        }
        (news.file || !beside.is_empty()).then_some(news)
    }
}

impl OpenText for FileText {
    fn name(&self) -> String {
        let name = self.path.file_name().map(|name| name.to_string_lossy().into_owned());
        name.unwrap_or_default()
    }

    fn path(&self) -> String {
        self.path.to_string_lossy().into_owned()
    }

    fn text(&self) -> &str {
        self.book.text(&self.book.main).unwrap_or_default()
    }

    fn edit(&mut self, range: Range<usize>, text: &str) {
        let main = self.book.main.clone();
        self.book.edit(&main, range, text);
    }

    fn reread(&mut self) {
        let Ok(bytes) = std::fs::read(&self.path) else { return };
        let Ok(text) = str::from_utf8(&bytes) else { return };
        let (text, form) = Form::read(text);
        self.edit(0..self.text().len(), &text);
        (self.form, self.disk) = (form, Some(bytes));
    }

    fn is_saved(&self) -> bool {
        self.saved
    }

    fn update(&mut self) -> Vec<usize> {
        let shelf = Shelf { open: &BTreeMap::new(), roots: &self.roots };
        // Nothing stops it.
        let _ = self.book.update(shelf, &|| false);
        self.saved = self.disk.as_deref() == Some(&self.form.write(self.text()));
        self.book.take_changed()
    }

    fn session(&self) -> &Session {
        self.book.session()
    }

    fn findings(&self) -> &[Finding] {
        &self.book.findings
    }

    fn good(&self) -> bool {
        self.book.good()
    }
}
