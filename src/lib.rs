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

use engrave::Style;
use font::Fonts;
use pages::Composed;
use pages::flowing::Flowing;
use score::Score;
use source::{Diagnostics, Source};

/// What a text comes to: its pages, and a cropped picture of each block.
pub type Compiled = Composed;

/// What a text means. Everything found wrong goes to `diagnostics`; nothing is returned where any
/// of it is an error.
pub fn read(source: &Source, diagnostics: &mut Diagnostics) -> Option<Score> {
    let document = syntax::parse(source, diagnostics);
    let score = score::build(source, &document, diagnostics);
    (!diagnostics.has_errors()).then_some(score)
}

/// Compiles one text to pages; nothing where it has faults.
pub fn compile(source: &Source, fonts: &Fonts, diagnostics: &mut Diagnostics) -> Option<Compiled> {
    let score = read(source, diagnostics)?;
    Some(pages::compose(fonts, &Style::default(), source, &score, diagnostics))
}

/// Compiles one text for screens, without pages; nothing where it has faults.
pub fn compile_flowing(
    source: &Source,
    fonts: &Fonts,
    diagnostics: &mut Diagnostics,
) -> Option<Flowing> {
    let score = read(source, diagnostics)?;
    Some(pages::flowing::compose(fonts, &Style::default(), source, &score))
}
