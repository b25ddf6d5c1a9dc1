//! The session: files, edits, and what was made of them last.

use super::error::{EditError, Superseded};
use super::files::Files;
use super::typeset::{Memos, Typeset, Wanted};
use crate::drawing::{Drawing, Page};
use crate::font::Fonts;
use crate::interpret;
use crate::parallel::Stop;
use crate::score::{Header, Score};
use crate::source::{Diagnostics, Source};
use crate::syntax::tree::Document;
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
    document: Document,
    score: Arc<Score>,
    diagnostics: Diagnostics,
    /// What was found in how they are written, apart from what they mean.
    written: Diagnostics,
    /// Files they include of which nothing is known.
    unknown: Vec<String>,
    /// What serves to read the editions of the text, by their names.
    editions: Vec<(String, Memos)>,
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
        let (source, unknown) = files.source();
        Self {
            fonts,
            source,
            files,
            memos: Memos::keeping(1),
            document: Document::default(),
            score: Arc::default(),
            diagnostics: Diagnostics::default(),
            written: Diagnostics::default(),
            unknown,
            editions: Vec::new(),
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

    /// Says why a file can't be read that the text may include; the fault of its line says so.
    pub fn refuse_file(&mut self, name: impl Into<String>, why: impl Into<String>) {
        self.files.refuse(name.into(), why.into());
    }

    /// Sets the text with other faces; all of it is set anew.
    pub fn set_fonts(&mut self, fonts: Arc<Fonts>) {
        self.fonts = fonts;
        self.memos = Memos::keeping(self.memos.limit);
        self.editions.clear();
    }

    /// Takes a file away.
    pub fn remove_file(&mut self, name: &str) {
        self.files.remove(name);
    }

    /// Lets so many times as much be made of the text as of any text of its length
    /// ([`Budget`](crate::derive::Budget)).
    pub fn set_limit(&mut self, times: u32) {
        self.memos.limit = times;
        self.editions.iter_mut().for_each(|(_, memos)| memos.limit = times);
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
        let (source, unknown) = self.files.source();
        let mut diagnostics = Diagnostics::default();
        let document = self.files.document(&source, &mut diagnostics);
        if stop() {
            return Err(Superseded);
        }
        let written = diagnostics.clone();
        let text = Wanted { source: &source, document: &document, edition: None };
        let made = self.memos.typeset(text, &self.fonts, stop, &mut diagnostics);
        let (score, layout) = made?;
        (self.source, self.document, self.unknown) = (source, document, unknown);
        (self.written, self.diagnostics) = (written, diagnostics);
        self.score = score.clone();
        let current = layout.is_some();
        let changed =
            layout.map_or_else(Vec::new, |layout| self.replace(Typeset { score, layout }));
        Ok(Update { current, pages: self.pages(), changed })
    }

    /// What is found in the editions of the text that was looked at last and not in the text as it stands.
    ///
    /// # Errors
    /// Where the work was stopped; what was made before stays.
    pub fn check_editions(&mut self, stop: Stop<'_>) -> Result<Diagnostics, Superseded> {
        let names = interpret::editions(&self.document);
        self.editions.retain(|(name, _)| names.contains(name));
        let mut all = Diagnostics::default();
        for name in names {
            let mut found = self.written.clone();
            let (source, document) = (&self.source, &self.document);
            let text = Wanted { source, document, edition: Some(&name) };
            let known = self.editions.iter().position(|(own, _)| *own == name);
            let at = known.unwrap_or_else(|| {
                self.editions.push((name.clone(), Memos::keeping(self.memos.limit)));
                self.editions.len() - 1
            });
            if let Some((_, memos)) = self.editions.get_mut(at) {
                memos.typeset(text, &self.fonts, stop, &mut found)?;
            }
            all.absorb(found.of_edition(&name, &self.diagnostics), 0);
        }
        Ok(all)
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

    /// The tree of the text that was looked at last.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// What the text that was looked at last means, as far as it can be understood.
    #[must_use]
    pub fn score(&self) -> &Score {
        &self.score
    }

    /// Files that the text that was looked at last includes, and of which nothing is known: neither what is in
    /// them nor why they can't be read.
    #[must_use]
    pub fn unknown_files(&self) -> &[String] {
        &self.unknown
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
        Some(good.layout.clone().into_drawing(&self.fonts, &good.score))
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
