//! The desk without a server: a text that a worker of the page holds.

use crate::{faces, font_files};
use flamacue::assist::{Finding, findings};
use flamacue::desk::{
    Ask, FileError, Hear, Look, Lost, Opened, Refused, Seen, SentPages, edits_in,
};
use flamacue::session::Session;
use flamacue::sound::Kit;
use serde::Serialize;
use std::ops::Range;
use wasm_bindgen::prelude::{JsError, wasm_bindgen};

/// Pages that are sent with a text when it is opened.
const FIRST_PAGES: usize = 2;

/// Sound, and what is heard in it when.
#[wasm_bindgen(getter_with_clone)]
pub struct BlockSound {
    /// What is heard, or why nothing is, as JSON.
    pub told: String,
    /// A WAV file; empty where nothing is heard.
    pub wav: Vec<u8>,
}

/// A text that is written on a page, and what the page asks of it. It includes no other files.
#[wasm_bindgen]
pub struct Desk {
    name: String,
    session: Session,
    findings: Vec<Finding>,
    /// Whether the pages are those of the text as it is.
    good: bool,
    kit: Kit,
    sent: SentPages,
}

#[wasm_bindgen]
impl Desk {
    /// Takes a text, whose lines all end in a line feed, and the name of its file.
    ///
    /// # Errors
    /// Says which face is broken.
    #[wasm_bindgen(constructor)]
    pub fn new(name: &str, text: &str) -> Result<Self, JsError> {
        let session = Session::new(name, text, faces::built_in()?);
        let (findings, kit) = (Vec::new(), Kit::own());
        Ok(Self {
            name: name.to_owned(),
            session,
            findings,
            good: false,
            kit,
            sent: SentPages::default(),
        })
    }

    /// Answers what the page asks; both are JSON, as the program's own desk has them.
    ///
    /// # Errors
    /// Where nothing of that kind can be asked.
    pub fn ask(&mut self, ask: &str) -> Result<String, JsError> {
        Ok(self.answer(serde_json::from_str(ask)?))
    }

    /// The block that holds a place, to be heard; what is wanted is JSON.
    ///
    /// # Errors
    /// Where nothing of that kind can be wanted.
    pub fn hear(&mut self, wanted: &str) -> Result<BlockSound, JsError> {
        let wanted: Hear = serde_json::from_str(wanted)?;
        let desk = flamacue::desk::Desk::of(&self.session);
        let (told, wav) = match desk.hear(&wanted, &mut self.kit) {
            Ok((heard, wav)) => (json(&heard), wav),
            Err(why) => (json(&Refused { why: why.to_string() }), Vec::new()),
        };
        Ok(BlockSound { told, wav })
    }

    /// The pages as a PDF file.
    ///
    /// # Errors
    /// Says in words why there is none.
    pub fn pdf(&self) -> Result<Vec<u8>, JsError> {
        made(self.desk().pdf())
    }

    /// What is played, as a MIDI file.
    ///
    /// # Errors
    /// Says in words why there is none.
    pub fn midi(&self) -> Result<Vec<u8>, JsError> {
        made(self.desk().midi())
    }

    /// What the text has to be heard, as its keys say, as a FLAC file.
    ///
    /// # Errors
    /// Says in words why there is none.
    pub fn flac(&mut self) -> Result<Vec<u8>, JsError> {
        made(flamacue::desk::Desk::of(&self.session).flac(&mut self.kit))
    }
}

impl Desk {
    fn answer(&mut self, ask: Ask) -> String {
        match ask {
            // There is no other text behind this one.
            Ask::Open | Ask::Reread => json(&self.opened()),
            Ask::Text { text } => {
                self.edit([(0..self.text().len(), text)]);
                json(&self.look(&Seen::default()))
            }
            Ask::Look { seen } => json(&self.look(&seen)),
            Ask::Edit { edits, length, seen } => match edits_in(self.text(), &edits, length) {
                Some(edits) => {
                    self.edit(edits);
                    json(&self.look(&seen))
                }
                None => json(&Lost { lost: true }),
            },
            Ask::Page { page } => {
                json(&flamacue::desk::Desk::of(&self.session).page(page, &mut self.sent))
            }
            Ask::Tokens { from, to } => json(&self.desk().tokens(from, to)),
            Ask::Complete { at } => json(&self.desk().complete(at)),
            Ask::Explain { at } => json(&self.desk().explain(at)),
            Ask::Tidy => json(&self.desk().tidy()),
        }
    }

    fn edit(&mut self, edits: impl IntoIterator<Item = (Range<usize>, String)>) {
        for (range, text) in edits {
            // Ranges of the text itself fit.
            let _ = self.session.edit(&self.name, range, &text);
        }
    }

    fn text(&self) -> &str {
        self.session.text(&self.name).unwrap_or_default()
    }

    fn desk(&self) -> flamacue::desk::Desk<'_> {
        flamacue::desk::Desk::of(&self.session)
    }

    fn opened(&mut self) -> Opened {
        self.update();
        let seen = Seen { near: (0..FIRST_PAGES).collect(), ..Seen::default() };
        let pages = (0..self.session.pages()).collect();
        self.sent = SentPages::default();
        let look = self.seen(pages, &seen);
        Opened {
            name: self.name.clone(),
            path: self.name.clone(),
            text: self.text().to_owned(),
            saved: false,
            look,
        }
    }

    fn look(&mut self, seen: &Seen) -> Look {
        let changed = self.update();
        self.seen(changed, seen)
    }

    /// What is seen of the text as it came to be.
    fn seen(&mut self, changed: Vec<usize>, seen: &Seen) -> Look {
        let desk = flamacue::desk::Desk::of(&self.session);
        desk.look((self.good, changed), &self.findings, (seen, &mut self.sent))
    }

    /// Makes of the text what it comes to; the pages that changed.
    fn update(&mut self) -> Vec<usize> {
        // Nothing stops it.
        let Ok(update) = self.session.update(&|| false) else { return Vec::new() };
        let mut found = self.session.diagnostics().clone();
        if let Ok(editions) = self.session.check_editions(&|| false) {
            found.absorb(editions, 0);
        }
        let asked = font_files::refuse(self.session.score(), &mut found);
        self.findings = findings(self.session.source(), &found);
        self.good = update.current && !asked;
        update.changed
    }
}

/// A file, or in words why there is none.
fn made(file: Result<Vec<u8>, FileError>) -> Result<Vec<u8>, JsError> {
    file.map_err(|why| JsError::new(&why.to_string()))
}

/// An answer as JSON.
fn json<T: Serialize>(answer: &T) -> String {
    // Strings, finite numbers and lists of them have no way to fail.
    serde_json::to_string(answer).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn desk(text: &str) -> Desk {
        let mut desk = Desk::new("a.flam", text).unwrap_or_else(|_| panic!("the faces are whole"));
        desk.answer(Ask::Open);
        desk
    }

    #[test]
    fn a_text_is_edited_and_one_that_is_not_the_same_is_lost() {
        let mut desk = desk("groove\n  snare  s.s.\n");
        let edit = |length| {
            let edit = flamacue::desk::Edit { from: 0, to: 0, text: "// é\n".to_owned() };
            Ask::Edit { edits: vec![edit], length, seen: Seen::default() }
        };
        let before = desk.text().len();
        assert_eq!(desk.answer(edit(3)), r#"{"lost":true}"#);
        assert!(desk.answer(edit(before + 5)).contains(r#""findings""#));
        assert!(desk.text().starts_with("// é\n"));
    }

    #[test]
    fn font_files_are_a_fault() {
        let mut desk = desk("text-font: A.otf\n");
        assert!(
            !desk.good
                && desk
                    .answer(Ask::Look { seen: Seen::default() })
                    .contains("can't be read in a web page")
        );
    }
}
