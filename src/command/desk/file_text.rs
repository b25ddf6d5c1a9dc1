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
    /// Whether what the file held is the text.
    saved: bool,
    /// Whether the file was not there, or could not be read, when it was looked at last.
    gone: bool,
}

impl FileText {
    /// Reads a file.
    pub fn open(file: &Path, roots: &Roots) -> Result<Self, Failure> {
        let path = std::path::absolute(file)
            .map_err(|e| Failure(format!("can't read {}: {e}", shown(file))))?;
        let mut outside = Outside::default();
        outside.look_at(&path);
        let bytes = Reader::new(roots).named(&path, Kind::Text)?;
        let cannot = || {
            let why = "it is not UTF-8 text; save it as UTF-8 in your editor";
            Failure(format!("can't read {}: {why}", shown(file)))
        };
        let (text, form) = Form::read(str::from_utf8(&bytes).map_err(|_| cannot())?);
        let fonts = Arc::new(Fonts::built_in().map_err(Failure::new)?);
        let book = Book::new(&path.to_string_lossy(), &text, fonts);
        let roots = Roots { root: roots.root.clone() };
        let disk = Some(bytes);
        Ok(Self { path, roots, book, form, disk, outside, saved: true, gone: false })
    }

    /// Writes the text to its file, or says why not. Where another program changed the file, it is left alone,
    /// but where it is to be written over.
    pub fn save(&mut self, over: bool) -> Saved {
        let now = std::fs::read(&self.path).ok();
        if now != self.disk && !over {
            return Saved { changed: true, gone: now.is_none(), ..Saved::default() };
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
                self.outside.look_at(&self.path);
                (self.saved, self.gone) = (true, false);
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
            let was_gone = std::mem::replace(&mut self.gone, now.is_none());
            news.gone = self.gone;
            news.file = now != self.disk;
            news.back = was_gone && !news.file;
        }
        news.saved = self.is_saved();
        (news.file || news.back || !beside.is_empty()).then_some(news)
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
        (self.form, self.disk, self.gone) = (form, Some(bytes), false);
    }

    fn is_saved(&self) -> bool {
        self.saved && !self.gone
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

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    const TEXT: &str = "fill\n  play  s s s s\n";

    #[test]
    fn what_is_gone_with_its_folder_is_not_saved_until_it_is_back_or_written_anew() {
        let folder = std::env::temp_dir().join(format!("flamacue-gone-{}", std::process::id()));
        let away = folder.with_extension("away");
        fs::create_dir_all(&folder).expect("a folder");
        let file = folder.join("tray.flam");
        fs::write(&file, TEXT).expect("a file");
        let mut text = FileText::open(&file, &Roots { root: Vec::new() }).expect("it is there");
        assert_eq!((text.look_outside(), text.is_saved()), (None, true));

        // The folder goes, and a file takes its place, in which nothing can be read either.
        fs::rename(&folder, &away).expect("it was there");
        let news = text.look_outside().expect("it is gone");
        assert!(news.gone && news.file && !news.saved && !text.is_saved());
        fs::write(&folder, "in its place").expect("a file");
        assert_eq!(text.look_outside(), None, "it is told once");
        let saved = text.save(false);
        assert!(saved.gone && saved.changed && !saved.saved);
        let saved = text.save(true);
        assert!(!saved.saved && saved.why.is_some(), "{saved:?}");
        assert_eq!(text.text(), TEXT);

        // It comes back as it was.
        fs::remove_file(&folder).expect("it was written");
        fs::rename(&away, &folder).expect("it was put there");
        let news = text.look_outside().expect("it is back");
        assert!(news.back && !news.gone && !news.file && news.saved && text.is_saved());

        // Only the file goes, while something is written.
        text.edit(0..4, "groove");
        text.update();
        fs::remove_file(&file).expect("it was there");
        assert!(text.look_outside().is_some_and(|news| news.gone && !news.saved));
        assert!(text.save(true).saved && text.is_saved());
        assert_eq!(fs::read_to_string(&file).expect("it is there"), TEXT.replace("fill", "groove"));
        assert_eq!(text.look_outside(), None);
        fs::remove_dir_all(&folder).expect("it was there");
    }
}
