//! The text, its file, and what it came to.

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
use flamacue::desk::{Ask, Desk, Hear, Look, Lost, Opened, Refused, Seen, SentPages, edits_in};
use flamacue::font::Fonts;
use flamacue::sound::Kit;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Pages that are sent with a text when it is opened.
const FIRST_PAGES: usize = 2;

/// A text that is written on the desk.
pub struct Holder {
    path: PathBuf,
    roots: Roots,
    book: Book,
    form: Form,
    /// What the file held when it was read or written last; nothing where it is gone.
    disk: Option<Vec<u8>>,
    outside: Outside,
    kit: Kit,
    sent: SentPages,
    /// Whether the file has the text.
    saved: bool,
}

impl Holder {
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
        let (disk, outside, kit) = (Some(bytes), Outside::default(), Kit::own());
        let sent = SentPages::default();
        Ok(Self { path, roots, book, form, disk, outside, kit, sent, saved: true })
    }

    /// Answers what the page asks, as JSON.
    pub fn answer(&mut self, ask: Ask) -> String {
        match ask {
            Ask::Open => json(&self.opened()),
            Ask::Reread => {
                self.reread();
                json(&self.opened())
            }
            Ask::Text { text } => {
                self.put(&text);
                json(&self.look(&Seen::default()))
            }
            Ask::Look { seen } => json(&self.look(&seen)),
            Ask::Edit { edits, length, seen } => {
                let Some(edits) = edits_in(self.text(), &edits, length) else {
                    return json(&Lost { lost: true });
                };
                let main = self.book.main.clone();
                for (range, text) in edits {
                    self.book.edit(&main, range, &text);
                }
                json(&self.look(&seen))
            }
            Ask::Page { page } => json(&Desk::of(self.book.session()).page(page, &mut self.sent)),
            Ask::Tokens { from, to } => json(&self.desk().tokens(from, to)),
            Ask::Complete { at } => json(&self.desk().complete(at)),
            Ask::Explain { at } => json(&self.desk().explain(at)),
            Ask::Tidy => json(&self.desk().tidy()),
        }
    }

    /// Sound with what is heard in it when: the length of the JSON in four bytes, the JSON, and a WAV file.
    pub fn hear(&mut self, wanted: &Hear) -> Vec<u8> {
        let desk = Desk::of(self.book.session());
        let (told, sound) = match desk.hear(wanted, &mut self.kit) {
            Ok((heard, sound)) => (json(&heard), sound),
            Err(why) => (json(&Refused { why: why.to_string() }), Vec::new()),
        };
        let length = u32::try_from(told.len()).unwrap_or(u32::MAX);
        [&length.to_le_bytes()[..], told.as_bytes(), &sound].concat()
    }

    /// The text as a PDF file.
    pub fn pdf(&self) -> Result<Vec<u8>, String> {
        self.desk().pdf().map_err(|why| why.to_string())
    }

    /// What the text has to be heard, as its keys say, as a FLAC file.
    pub fn flac(&mut self) -> Result<Vec<u8>, String> {
        let desk = Desk::of(self.book.session());
        desk.flac(&mut self.kit).map_err(|why| why.to_string())
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

    /// The text as it is.
    fn text(&self) -> &str {
        self.book.text(&self.book.main).unwrap_or_default()
    }

    /// Whether the file has the text.
    pub fn is_saved(&self) -> bool {
        self.saved
    }

    /// Looks whether the file has the text.
    fn compare(&mut self) {
        self.saved = self.disk.as_deref() == Some(&self.form.write(self.text()));
    }

    /// Puts another text in place of the one that is there.
    fn put(&mut self, text: &str) {
        let (main, length) = (self.book.main.clone(), self.text().len());
        self.book.edit(&main, 0..length, text);
    }

    /// Takes the text from its file; it stays where there is none.
    fn reread(&mut self) {
        let Ok(bytes) = std::fs::read(&self.path) else { return };
        let Ok(text) = str::from_utf8(&bytes) else { return };
        let (text, form) = Form::read(text);
        self.put(&text);
        (self.form, self.disk) = (form, Some(bytes));
    }

    fn opened(&mut self) -> Opened {
        let seen = Seen { near: (0..FIRST_PAGES).collect(), ..Seen::default() };
        self.update();
        self.compare();
        let pages = self.book.session().pages();
        self.sent = SentPages::default();
        let look = self.seen((0..pages).collect(), &seen);
        let name = self.path.file_name().map(|name| name.to_string_lossy().into_owned());
        Opened {
            name: name.unwrap_or_default(),
            path: self.path.to_string_lossy().into_owned(),
            text: self.text().to_owned(),
            saved: self.saved,
            look,
        }
    }

    fn look(&mut self, seen: &Seen) -> Look {
        let changed = self.update();
        self.compare();
        self.seen(changed, seen)
    }

    /// What is seen of the text as it came to be.
    fn seen(&mut self, changed: Vec<usize>, seen: &Seen) -> Look {
        let came = (self.book.good(), changed);
        let desk = Desk::of(self.book.session());
        desk.look(came, &self.book.findings, (seen, &mut self.sent))
    }

    /// Makes of the text what it comes to; the pages that changed.
    fn update(&mut self) -> Vec<usize> {
        let shelf = Shelf { open: &BTreeMap::new(), roots: &self.roots };
        // Nothing stops it.
        let _ = self.book.update(shelf, &|| false);
        self.book.take_changed()
    }

    fn desk(&self) -> Desk<'_> {
        Desk::of(self.book.session())
    }
}

/// An answer as JSON.
fn json<T: serde::Serialize>(answer: &T) -> String {
    // Strings, finite numbers and lists of them have no way to fail.
    serde_json::to_string(answer).unwrap_or_default()
}
