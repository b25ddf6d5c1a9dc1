//! The session: files, edits, and what was made of them last.

use super::error::{EditError, Superseded};
use super::files::Files;
use super::typeset::{Memos, Typeset};
use crate::drawing::{Drawing, Page};
use crate::font::Fonts;
use crate::parallel::Stop;
use crate::score::Header;
use crate::source::{Diagnostics, Source};
use crate::write::pdf::PdfOptions;
use crate::write::{WriteError, pdf, svg};
use std::ops::Range;
use std::sync::Arc;

/// A text that stays in memory and is typeset again as it is edited.
#[derive(Debug)]
pub struct Session {
    fonts: Arc<Fonts>,
    files: Files,
    memos: Memos,
    /// The files as they were when they were last looked at, and what was found in them.
    source: Source,
    diagnostics: Diagnostics,
    /// What was made when they were last without an error.
    last_good: Option<Typeset>,
}

/// What became of edits.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Update {
    /// Whether the pages are those of the text as it is; where it has an error, they are those of the
    /// text as it was last without one.
    pub current: bool,
    /// How many pages there are.
    pub pages: usize,
    /// The pages that came to look different, by index, in order; those past the last are gone.
    pub changed: Vec<usize>,
}

impl Session {
    /// Takes a text and the name its faults are reported under. Nothing is made of it yet.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>, fonts: Arc<Fonts>) -> Self {
        let files = Files::new(name.into(), text.into());
        Self {
            fonts,
            source: files.source(),
            files,
            memos: Memos::keeping(),
            diagnostics: Diagnostics::default(),
            last_good: None,
        }
    }

    /// Puts a file in place of the one of its name, which is the path it is included under.
    pub fn set_file(&mut self, name: impl Into<String>, text: impl Into<String>) {
        self.files.set(name.into(), text.into());
    }

    /// Puts a picture in place of the one of its name, which is the path it is shown under.
    pub fn set_picture(&mut self, name: impl Into<String>, bytes: impl Into<Arc<[u8]>>) {
        self.files.set_picture(name.into(), bytes.into());
    }

    /// Takes a file away.
    pub fn remove_file(&mut self, name: &str) {
        self.files.remove(name);
    }

    /// Lets so many times as much be made of the text as of any text of its length
    /// ([`Budget`](crate::derive::Budget)).
    pub fn set_limit(&mut self, times: u32) {
        self.memos.limit = times;
    }

    /// The text of a file.
    #[must_use]
    pub fn text(&self, name: &str) -> Option<&str> {
        self.files.text(name)
    }

    /// Puts a text in place of a range of bytes of a file. Nothing is made of it yet.
    ///
    /// # Errors
    /// Says whether the file or the range is not there.
    pub fn edit(&mut self, name: &str, range: Range<usize>, text: &str) -> Result<(), EditError> {
        self.files.edit(name, range, text)
    }

    /// Makes of the text what it comes to after its edits. `stop` is asked now and then whether a
    /// newer edit waits.
    ///
    /// # Errors
    /// Where the work was stopped; what was made before stays.
    pub fn update(&mut self, stop: Stop<'_>) -> Result<Update, Superseded> {
        let source = self.files.source();
        let mut diagnostics = Diagnostics::default();
        let document = self.files.document(&source, &mut diagnostics);
        if stop() {
            return Err(Superseded);
        }
        let text = (&source, &document);
        let typeset = self.memos.typeset(text, &self.fonts, stop, &mut diagnostics)?;
        (self.source, self.diagnostics) = (source, diagnostics);
        let current = typeset.is_some();
        let changed = typeset.map_or_else(Vec::new, |typeset| self.replace(typeset));
        Ok(Update { current, pages: self.pages(), changed })
    }

    /// Takes new pages; those that look different.
    fn replace(&mut self, typeset: Typeset) -> Vec<usize> {
        let changed = typeset.changed_from(self.last_good.as_ref());
        self.last_good = Some(typeset);
        changed
    }

    /// The text that was looked at last, for the places of what was found in it.
    #[must_use]
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// What was found in the text that was looked at last.
    #[must_use]
    pub fn diagnostics(&self) -> &Diagnostics {
        &self.diagnostics
    }

    /// What the text asked for as a whole when it was last without an error. Font files it may name were not
    /// looked for: it is set in the faces it was given.
    #[must_use]
    pub fn header(&self) -> Option<&Header> {
        self.last_good.as_ref().map(|good| &good.score.header)
    }

    /// How many pages there are; none before the text was once without an error.
    #[must_use]
    pub fn pages(&self) -> usize {
        self.last_good.as_ref().map_or(0, |good| good.layout.pages())
    }

    /// The page of an index.
    #[must_use]
    pub fn page(&self, page: usize) -> Option<Page> {
        let good = self.last_good.as_ref().filter(|good| page < good.layout.pages())?;
        Some(good.layout.page(&self.fonts, &good.score, page))
    }

    /// All pages.
    #[must_use]
    pub fn drawing(&self) -> Option<Drawing> {
        let good = self.last_good.as_ref()?;
        Some(good.layout.drawing(&self.fonts, &good.score))
    }

    /// A page as an SVG file.
    #[must_use]
    pub fn svg(&self, page: usize) -> Option<String> {
        Some(svg::write(&self.page(page)?, &self.fonts))
    }

    /// All pages as a PDF file; nothing before the text was once without an error.
    ///
    /// # Errors
    /// Says which face could not be embedded.
    pub fn pdf(&self) -> Result<Option<Vec<u8>>, WriteError> {
        let drawing = self.drawing();
        drawing
            .map(|drawing| pdf::write_and_drop(drawing, &self.fonts, &PdfOptions::default()))
            .transpose()
    }

    /// The faces it is set with.
    #[must_use]
    pub fn fonts(&self) -> &Fonts {
        &self.fonts
    }
}
