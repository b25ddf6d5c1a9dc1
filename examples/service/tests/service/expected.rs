//! What the library makes of a text.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flamacue::drawing::Drawing;
use flamacue::font::Fonts;
use flamacue::pages::codes::PICTURE_UNAVAILABLE;
use flamacue::source::{Diagnostics, Source};
use flamacue::write::{pdf, svg};
use sha2::{Digest as _, Sha256};
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().unwrap());

pub enum Expected {
    Pages { pdf: Vec<u8>, svg: Vec<String> },
    Faults(String),
}

impl Expected {
    pub fn of(text: &[u8]) -> Self {
        let source = match Source::from_bytes("text.flam", text.to_vec()) {
            Ok(source) => source,
            Err(why) => return Self::Faults(format!("{why}\n")),
        };
        let none = |_: &str| Err("there is no such file or folder".to_owned());
        let source = flamacue::syntax::gather(source, &none);
        let mut found = Diagnostics::default();
        let made = flamacue::compile_pages(&source, &FONTS, None, &mut found);
        let pictures = found.sorted().iter().any(|found| found.code == PICTURE_UNAVAILABLE);
        match made.filter(|_| !pictures) {
            Some(drawing) => Self::pages(&drawing),
            None => Self::Faults(found.render(&source, false)),
        }
    }

    fn pages(drawing: &Drawing) -> Self {
        let pdf = pdf::write(drawing, &FONTS).unwrap();
        let svg = drawing.pages.iter().map(|page| svg::write(page, &FONTS)).collect();
        Self::Pages { pdf, svg }
    }
}

/// What an answer says of the text it was made of.
pub fn made_of(text: &[u8]) -> String {
    format!("sha-256=:{}:", STANDARD.encode(Sha256::digest(text)))
}
