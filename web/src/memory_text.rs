//! A text that a page keeps. It is in no file, and includes none.

use crate::{faces, font_files};
use flamacue::assist::{Finding, findings};
use flamacue::desk::OpenText;
use flamacue::session::Session;
use std::ops::Range;
use wasm_bindgen::prelude::JsError;

/// A text that a page keeps.
#[derive(Debug)]
pub struct MemoryText {
    name: String,
    session: Session,
    findings: Vec<Finding>,
    good: bool,
}

impl MemoryText {
    /// Takes a text, whose lines all end in a line feed, and the name a file of it would have.
    ///
    /// # Errors
    /// Says which face is broken.
    pub fn new(name: &str, text: &str) -> Result<Self, JsError> {
        let session = Session::new(name, text, faces::built_in()?);
        Ok(Self { name: name.to_owned(), session, findings: Vec::new(), good: false })
    }
}

impl OpenText for MemoryText {
    fn name(&self) -> String {
        self.name.clone()
    }

    fn path(&self) -> String {
        self.name.clone()
    }

    fn text(&self) -> &str {
        self.session.text(&self.name).unwrap_or_default()
    }

    fn edit(&mut self, range: Range<usize>, text: &str) {
        // Ranges of the text itself fit.
        let _ = self.session.edit(&self.name, range, text);
    }

    /// There is no file behind it.
    fn reread(&mut self) {}

    fn is_saved(&self) -> bool {
        false
    }

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

    fn session(&self) -> &Session {
        &self.session
    }

    fn findings(&self) -> &[Finding] {
        &self.findings
    }

    fn good(&self) -> bool {
        self.good
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use flamacue::desk::{Ask, Edit, Holder, Seen};

    fn held(text: &str) -> Holder<MemoryText> {
        let text =
            MemoryText::new("a.flam", text).unwrap_or_else(|_| panic!("the faces are whole"));
        let mut held = Holder::new(text);
        held.answer(Ask::Open);
        held
    }

    #[test]
    fn a_text_is_edited_and_one_that_is_not_the_same_is_lost() {
        let mut held = held("groove\n  snare  s.s.\n");
        let edit = |length| {
            let edit = Edit { from: 0, to: 0, text: "// é\n".to_owned() };
            Ask::Edit { edits: vec![edit], length, seen: Seen::default() }
        };
        let before = held.text().text().len();
        assert_eq!(held.answer(edit(3)), r#"{"lost":true}"#);
        assert!(held.answer(edit(before + 5)).contains(r#""findings""#));
        assert!(held.text().text().starts_with("// é\n"));
    }

    #[test]
    fn font_files_are_a_fault() {
        let mut held = held("text-font: A.otf\n");
        assert!(
            !held.text().good()
                && held
                    .answer(Ask::Look { seen: Seen::default() })
                    .contains("can't be read in a web page")
        );
    }
}
