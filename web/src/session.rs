//! A text that stays in memory while it is edited.

use crate::files::Files;
use crate::{faces, fault, files, font_files, forms, offset};
use flamacue::session::{EditError, Superseded};
use flamacue::source::{Diagnostics, Source};
use js_sys::JSON;
use serde::Serialize;
use std::collections::BTreeSet;
use wasm_bindgen::prelude::{JsError, JsValue, wasm_bindgen};

#[wasm_bindgen(typescript_custom_section)]
const TYPES: &str = r"
/** What became of edits. */
export interface Update {
  /**
   * Whether the pages are those of the text as it is; where a fault stops it, they are those of the
   * text as it was last without one.
   */
  current: boolean;
  /** How many pages there are. */
  pages: number;
  /**
   * The pages that came to look different, by index, in order; those past the last are gone. The SVG
   * of another page can differ all the same in what is not seen: the places of its marks in the text,
   * and its title, which says how many pages there are.
   */
  changed: number[];
}
";

/// What became of edits, as the interface `Update` has it.
#[derive(Serialize)]
struct UpdateOut {
    current: bool,
    pages: usize,
    changed: Vec<usize>,
}

/// A text whose header asks for font files, and what was found in it.
struct Refused {
    source: Source,
    diagnostics: Diagnostics,
}

/// A text that stays in memory: it is edited, and what an edit touches is typeset again. What comes out
/// is what `compile` makes of the same files, to the byte. It keeps all it made until it is freed.
///
/// An update runs to its end on the thread it is made on. No newer edit can arrive meanwhile, so there
/// is no function that stops it. A page that must stay quick keeps its session in a worker, and makes
/// all edits that have arrived before it updates.
#[wasm_bindgen]
pub struct Session {
    name: String,
    /// All files it was given.
    names: BTreeSet<String>,
    resident: flamacue::session::Session,
    /// Where the text can't be set in a page, so that the resident text was not looked at.
    refused: Option<Refused>,
}

#[wasm_bindgen]
impl Session {
    /// Takes a text. `name` is what faults call it; `files` are the texts it may include. Nothing is
    /// made of it before the first update.
    ///
    /// # Errors
    /// Says which file is not text, or which face is broken.
    #[wasm_bindgen(constructor)]
    pub fn new(name: &str, text: &str, files: Option<Files>) -> Result<Self, JsError> {
        let texts = files::texts(files.as_ref())?;
        let resident = flamacue::session::Session::new(name, text, faces::built_in()?);
        let names = BTreeSet::from([name.to_owned()]);
        let mut session = Self { name: name.to_owned(), names, resident, refused: None };
        session.drop_marks(name);
        // A file of the text's own name can't be included, and does not take its place.
        for (name, text) in texts.into_iter().filter(|(other, _)| other != name) {
            session.set_file(&name, &text);
        }
        Ok(session)
    }

    /// Puts a file in place of the one of its name, which is the path it is included under.
    #[wasm_bindgen(js_name = setFile)]
    pub fn set_file(&mut self, name: &str, text: &str) {
        self.names.insert(name.to_owned());
        self.resident.set_file(name, text);
        self.drop_marks(name);
    }

    /// Takes a file away. The one the text starts with stays, empty.
    #[wasm_bindgen(js_name = removeFile)]
    pub fn remove_file(&mut self, name: &str) {
        self.resident.remove_file(name);
        if name != self.name {
            self.names.remove(name);
        }
    }

    /// The text of a file; nothing where there is none of this name.
    pub fn text(&self, name: &str) -> Option<String> {
        self.resident.text(name).map(str::to_owned)
    }

    /// Puts a text in place of a range of a file, which is counted as JavaScript counts: in code units
    /// of UTF-16, from zero, `end` after the last. A byte order mark at the start of the first file is
    /// no part of it and is not counted.
    ///
    /// # Errors
    /// Where there is no file of this name, or no such range in it: it is past the end, backwards, or
    /// an end of it is inside a character. The file is then as it was.
    pub fn edit(&mut self, file: &str, start: f64, end: f64, text: &str) -> Result<(), JsError> {
        let range = offset::bytes(self.resident.text(file).ok_or(EditError::NoFile)?, start, end)?;
        self.resident.edit(file, range, text)?;
        self.drop_marks(file);
        Ok(())
    }

    /// Makes of the text what it comes to after its edits. Where a fault stops it, the pages that were
    /// made last stay.
    ///
    /// # Errors
    /// None: nothing stops the work, and what is parsed was written just now.
    #[wasm_bindgen(unchecked_return_type = "Update")]
    pub fn update(&mut self) -> Result<JsValue, JsValue> {
        self.refused = self.refuse();
        let out = if self.refused.is_some() {
            UpdateOut { current: false, pages: self.resident.pages(), changed: Vec::new() }
        } else {
            let stopped = |Superseded| JsError::new("the work was stopped");
            let made = self.resident.update(&|| false).map_err(stopped)?;
            UpdateOut { current: made.current, pages: made.pages, changed: made.changed }
        };
        // Numbers and lists of them have no way to fail.
        JSON::parse(&serde_json::to_string(&out).unwrap_or_default())
    }

    /// All faults and warnings of the last update, by place.
    ///
    /// # Errors
    /// None: what is parsed was written just now.
    #[wasm_bindgen(unchecked_return_type = "Fault[]")]
    pub fn faults(&self) -> Result<JsValue, JsValue> {
        let (source, diagnostics) = self.found();
        fault::list(source, diagnostics)
    }

    /// All faults and warnings of the last update as the command prints them; empty where there is
    /// none.
    pub fn report(&self) -> String {
        let (source, diagnostics) = self.found();
        diagnostics.render(source, false)
    }

    /// How many pages there are; zero before the text was once without a fault.
    #[wasm_bindgen(getter, js_name = pageCount)]
    pub fn page_count(&self) -> usize {
        self.resident.pages()
    }

    /// All pages as one PDF file; nothing where there are none.
    ///
    /// # Errors
    /// Says which face could not be embedded.
    pub fn pdf(&self) -> Result<Option<Vec<u8>>, JsError> {
        Ok(forms::pdf(self.resident.drawing().as_ref(), self.resident.fonts())?)
    }

    /// One page as SVG, its index from zero; nothing where there is no such page.
    ///
    /// # Errors
    /// Says which face could not be embedded.
    pub fn svg(&self, page: usize) -> Result<Option<String>, JsError> {
        Ok(forms::svg(self.resident.page(page).as_ref(), self.resident.fonts())?)
    }

    /// The places of all marks for programs; nothing where there are no pages.
    pub fn json(&self) -> Option<String> {
        forms::json(self.resident.drawing().as_ref(), self.resident.fonts())
    }
}

impl Session {
    /// The text that was looked at last and what was found in it.
    fn found(&self) -> (&Source, &Diagnostics) {
        match &self.refused {
            Some(refused) => (&refused.source, &refused.diagnostics),
            None => (self.resident.source(), self.resident.diagnostics()),
        }
    }

    /// Takes out the byte order marks the text may start with, as one is left out of a text that is
    /// compiled. All go at once, so that later edits move nothing they do not touch.
    fn drop_marks(&mut self, file: &str) {
        let text = self.resident.text(&self.name).filter(|_| file == self.name).unwrap_or_default();
        let marks = text.len() - text.trim_start_matches(files::MARK).len();
        if marks > 0 {
            // The range is that of the marks just found.
            let _ = self.resident.edit(file, 0..marks, "");
        }
    }

    /// The text, where its header asks for font files. The resident text knows of none, so that it
    /// would be set without them; it is not shown such a text.
    fn refuse(&self) -> Option<Refused> {
        let mut texts = self.names.iter().filter_map(|name| self.resident.text(name));
        if !texts.any(font_files::may_be_asked_for) {
            return None;
        }
        let read = |path: &str| self.resident.text(path).map(str::to_owned);
        let text = self.resident.text(&self.name).unwrap_or_default();
        let source = files::gather(&self.name, text, &read);
        let mut diagnostics = Diagnostics::default();
        let score = font_files::understand(&source, &mut diagnostics);
        score.header.text_fonts.is_some().then_some(Refused { source, diagnostics })
    }
}
