//! Whoever holds the text: what a page asks, done and answered.

use super::answer::{Look, Lost, Opened, Refused};
use super::answers::Desk;
use super::ask::{Ask, Hear, Seen};
use super::edits::edits_in;
use super::files::FileError;
use super::open_text::OpenText;
use super::sent::SentPages;
use crate::sound::Kit;
use serde::Serialize;
use std::ops::Range;

/// Pages that are sent with a text when it is opened.
const FIRST_PAGES: usize = 2;

/// A text that is written on a page, and what the page has of it.
#[derive(Debug)]
pub struct Holder<T> {
    text: T,
    kit: Kit,
    sent: SentPages,
}

impl<T: OpenText> Holder<T> {
    /// Takes up a text.
    #[must_use]
    pub fn new(text: T) -> Self {
        Self { text, kit: Kit::own(), sent: SentPages::default() }
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> &T {
        &self.text
    }

    /// The text, to do with it what is not asked by a page.
    pub fn text_mut(&mut self) -> &mut T {
        &mut self.text
    }

    /// Answers what the page asks, as JSON.
    pub fn answer(&mut self, ask: Ask) -> String {
        match ask {
            Ask::Open => json(&self.opened()),
            Ask::Reread => {
                self.text.reread();
                json(&self.opened())
            }
            Ask::Text { text } => {
                self.edit([(0..self.text.text().len(), text)]);
                json(&self.look(&Seen::default()))
            }
            Ask::Look { seen } => json(&self.look(&seen)),
            Ask::Edit { edits, length, seen } => match edits_in(self.text.text(), &edits, length) {
                Some(edits) => {
                    self.edit(edits);
                    json(&self.look(&seen))
                }
                None => json(&Lost { lost: true }),
            },
            Ask::Page { page } => json(&Desk::of(self.text.session()).page(page, &mut self.sent)),
            Ask::Tokens { from, to } => json(&self.desk().tokens(from, to)),
            Ask::Complete { at } => json(&self.desk().complete(at)),
            Ask::Explain { at } => json(&self.desk().explain(at)),
            Ask::Tidy => json(&self.desk().tidy()),
        }
    }

    /// The block that holds a place: what is heard when, or why nothing is, as JSON; and a WAV file, which is
    /// empty where nothing is heard.
    pub fn hear(&mut self, wanted: &Hear) -> (String, Vec<u8>) {
        match Desk::of(self.text.session()).hear(wanted, &mut self.kit) {
            Ok((heard, sound)) => (json(&heard), sound),
            Err(why) => (json(&Refused { why: why.to_string() }), Vec::new()),
        }
    }

    /// The pages as a PDF file.
    ///
    /// # Errors
    /// As [`Desk::pdf`].
    pub fn pdf(&self) -> Result<Vec<u8>, FileError> {
        self.desk().pdf()
    }

    /// What is played, as a MIDI file.
    ///
    /// # Errors
    /// As [`Desk::midi`].
    pub fn midi(&self) -> Result<Vec<u8>, FileError> {
        self.desk().midi()
    }

    /// What the text has to be heard, as its keys say, as a FLAC file.
    ///
    /// # Errors
    /// As [`Desk::flac`].
    pub fn flac(&mut self) -> Result<Vec<u8>, FileError> {
        Desk::of(self.text.session()).flac(&mut self.kit)
    }

    fn edit(&mut self, edits: impl IntoIterator<Item = (Range<usize>, String)>) {
        for (range, text) in edits {
            self.text.edit(range, &text);
        }
    }

    fn desk(&self) -> Desk<'_> {
        Desk::of(self.text.session())
    }

    fn opened(&mut self) -> Opened {
        self.text.update();
        let seen = Seen { near: (0..FIRST_PAGES).collect(), ..Seen::default() };
        let pages = (0..self.text.session().pages()).collect();
        self.sent = SentPages::default();
        let look = self.seen(pages, &seen);
        Opened {
            name: self.text.name(),
            path: self.text.path(),
            text: self.text.text().to_owned(),
            saved: self.text.is_saved(),
            look,
        }
    }

    fn look(&mut self, seen: &Seen) -> Look {
        let changed = self.text.update();
        self.seen(changed, seen)
    }

    /// What is seen of the text as it came to be.
    fn seen(&mut self, changed: Vec<usize>, seen: &Seen) -> Look {
        let came = (self.text.good(), changed);
        let desk = Desk::of(self.text.session());
        desk.look(came, self.text.findings(), (seen, &mut self.sent))
    }
}

/// An answer as JSON.
fn json<A: Serialize>(answer: &A) -> String {
    // Strings, finite numbers and lists of them have no way to fail.
    serde_json::to_string(answer).unwrap_or_default()
}
