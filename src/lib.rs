//! Flamacue turns drum-text into engraved pages.
//!
//! Data flows one way: [`source`], [`syntax`], [`score`], [`engrave`], [`pages`], [`drawing`],
//! [`write`]; a later stage never reaches back.

pub mod drawing;
pub mod engrave;
pub mod font;
pub mod pages;
pub mod score;
pub mod source;
pub mod syntax;
pub mod write;

use drawing::{Drawing, Page};
use font::Fonts;
use source::{Diagnostics, Source};

/// What a file builds to.
#[derive(Clone, Debug, Default)]
pub struct Compiled {
    /// Its pages.
    pub drawing: Drawing,
    /// A cropped picture of each block, with the block's name or number.
    pub blocks: Vec<(String, Page)>,
}

/// Builds a file. Every fault found goes to `diagnostics`; nothing is returned where one of them
/// stops the build.
pub fn compile(source: &Source, fonts: &Fonts, diagnostics: &mut Diagnostics) -> Option<Compiled> {
    let document = syntax::parse(source, diagnostics);
    let score = score::build(source, &document, diagnostics);
    (!diagnostics.has_errors()).then(|| pages::lay_out(&score, fonts))
}
