//! What a text comes to.

use crate::files::Files;
use crate::{faces, fault, files, font_files, forms};
use flamacue::drawing::Drawing;
use flamacue::font::Fonts;
use flamacue::pages::Wanted;
use flamacue::source::{Diagnostics, Source};
use std::sync::Arc;
use wasm_bindgen::prelude::{JsError, JsValue, wasm_bindgen};

/// Compiles a text. `name` is what faults call it; `files` are the texts it may include.
///
/// # Errors
/// Says what keeps anything from being compiled: an included file that is not text, or a broken face.
/// What is wrong with the text itself is no error here but a fault of the compilation.
#[wasm_bindgen]
pub fn compile(name: &str, text: &str, files: Option<Files>) -> Result<Compilation, JsError> {
    let texts = files::texts(files.as_ref())?;
    let source = files::gather(name, text, &|path| texts.get(path).cloned());
    Ok(Compilation::new(source, faces::built_in()?))
}

/// What a text came to: its faults and warnings and, where no fault stops it, its pages. The pages
/// stay in memory until it is freed; each form is written when it is asked for.
#[wasm_bindgen]
pub struct Compilation {
    source: Source,
    diagnostics: Diagnostics,
    fonts: Arc<Fonts>,
    drawing: Option<Drawing>,
}

impl Compilation {
    fn new(source: Source, fonts: Arc<Fonts>) -> Self {
        let mut diagnostics = Diagnostics::default();
        let score = font_files::understand(&source, &mut diagnostics);
        let mut drawing = None;
        if !diagnostics.has_errors() {
            let wanted = Wanted::Pages;
            let made = flamacue::typeset(&source, &score, &fonts, None, wanted, &mut diagnostics);
            drawing = made.map(|made| made.drawing);
        }
        // A page can be impossible to set though the text is understood.
        let drawing = drawing.filter(|_| !diagnostics.has_errors());
        Self { source, diagnostics, fonts, drawing }
    }
}

#[wasm_bindgen]
impl Compilation {
    /// Whether a fault keeps the text from being written.
    #[wasm_bindgen(getter, js_name = hasErrors)]
    pub fn has_errors(&self) -> bool {
        self.diagnostics.has_errors()
    }

    /// All faults and warnings, by place.
    ///
    /// # Errors
    /// None: what is parsed was written just now.
    #[wasm_bindgen(unchecked_return_type = "Fault[]")]
    pub fn faults(&self) -> Result<JsValue, JsValue> {
        fault::list(&self.source, &self.diagnostics)
    }

    /// All faults and warnings as the command prints them; empty where there is none.
    pub fn report(&self) -> String {
        self.diagnostics.render(&self.source, false)
    }

    /// How many pages there are; zero where faults stop the text.
    #[wasm_bindgen(getter, js_name = pageCount)]
    pub fn page_count(&self) -> usize {
        self.drawing.as_ref().map_or(0, |drawing| drawing.pages.len())
    }

    /// All pages as one PDF file; nothing where faults stop the text.
    ///
    /// # Errors
    /// Says which face could not be embedded.
    pub fn pdf(&self) -> Result<Option<Vec<u8>>, JsError> {
        Ok(forms::pdf(self.drawing.as_ref(), &self.fonts)?)
    }

    /// One page as SVG, its index from zero; nothing where there is no such page.
    ///
    /// # Errors
    /// Says which face could not be embedded.
    pub fn svg(&self, page: usize) -> Result<Option<String>, JsError> {
        let page = self.drawing.as_ref().and_then(|drawing| drawing.pages.get(page));
        Ok(forms::svg(page, &self.fonts)?)
    }

    /// The places of all marks for programs; nothing where faults stop the text.
    pub fn json(&self) -> Option<String> {
        forms::json(self.drawing.as_ref(), &self.fonts)
    }
}
