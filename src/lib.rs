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
use source::{Diagnostics, Source};

/// What a text comes to: its pages, and a cropped picture of each block.
pub type Compiled = Composed;

/// Compiles one text in the style its header asks for. Everything found wrong goes to
/// `diagnostics`; nothing is returned where any of it is an error.
pub fn compile(source: &Source, fonts: &Fonts, diagnostics: &mut Diagnostics) -> Option<Compiled> {
    compile_in_style(source, fonts, None, diagnostics)
}

/// Compiles one text in a given style, or in the one its header asks for.
pub fn compile_in_style(
    source: &Source,
    fonts: &Fonts,
    style: Option<&Style>,
    diagnostics: &mut Diagnostics,
) -> Option<Compiled> {
    let document = syntax::parse(source, diagnostics);
    let score = score::build(source, &document, diagnostics);
    if diagnostics.has_errors() {
        return None;
    }
    let own;
    let style = match style {
        Some(style) => style,
        None => {
            own = Style::built_in(score.header.look);
            match &own {
                Ok(style) => style,
                Err(error) => {
                    diagnostics.error(Default::default(), error.to_string());
                    return None;
                }
            }
        }
    };
    Some(pages::compose(fonts, style, source, &score, diagnostics))
}
