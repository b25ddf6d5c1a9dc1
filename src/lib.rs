//! Flamacue turns drum-text into engraved pages.
//!
//! Data flows one way: [`source`], [`syntax`], [`score`], [`engrave`], [`pages`], [`drawing`],
//! [`write`]; a later stage never reaches back.
//!
//! The library reads no files and no clock. Its features are `png`, PNG pictures, and `parallel`, work
//! on all processors at once; without them it starts no thread, and what it writes is the same. The
//! feature `cli` is for the command alone.

pub mod derive;
pub mod drawing;
pub mod engrave;
pub mod font;
pub mod interpret;
pub mod pages;
mod parallel;
pub mod perform;
pub mod score;
pub mod source;
pub mod syntax;
pub mod write;

use drawing::Drawing;
use engrave::Style;
use font::Fonts;
use pages::flowing::Flowing;
use pages::{Composed, Wanted};
use score::Score;
use source::{Diagnostics, Source, Span, Spanned};
use std::borrow::Cow;

/// What a text comes to: its pages, and a cropped picture of each block.
pub type Compiled = Composed;

/// What a text means. Everything found wrong goes to `diagnostics`; nothing is returned where any
/// of it is an error.
pub fn read(source: &Source, diagnostics: &mut Diagnostics) -> Option<Score> {
    let document = syntax::parse(source, diagnostics);
    let score = interpret::build(source, &document, diagnostics);
    (!diagnostics.has_errors()).then_some(score)
}

/// The font files the header of a text asks for with `text-font`, as they are written there. The
/// library reads no files: give them to [`font::TextFonts::prefer`] before compiling.
pub fn text_font(source: &Source) -> Vec<Spanned<String>> {
    let named = source.text().lines().take_while(|line| !line.trim().is_empty());
    if !named.into_iter().any(|line| line.trim_start().to_lowercase().starts_with("text-font")) {
        return Vec::new();
    }
    interpret::text_font(&syntax::parse(source, &mut Diagnostics::default()))
}

/// Compiles one text to pages in the style its header asks for; nothing where it has faults.
pub fn compile(source: &Source, fonts: &Fonts, diagnostics: &mut Diagnostics) -> Option<Compiled> {
    compile_in_style(source, fonts, None, diagnostics)
}

/// Compiles one text to pages in a given style, or in the one its header asks for; nothing where it
/// has faults.
pub fn compile_in_style(
    source: &Source,
    fonts: &Fonts,
    style: Option<&Style>,
    diagnostics: &mut Diagnostics,
) -> Option<Compiled> {
    compose(source, fonts, style, Wanted::PagesAndPictures, diagnostics)
}

/// Compiles one text to its pages alone, without the pictures of its blocks; nothing where it has
/// faults.
pub fn compile_pages(
    source: &Source,
    fonts: &Fonts,
    style: Option<&Style>,
    diagnostics: &mut Diagnostics,
) -> Option<Drawing> {
    let composed = compose(source, fonts, style, Wanted::Pages, diagnostics)?;
    Some(composed.drawing)
}

fn compose(
    source: &Source,
    fonts: &Fonts,
    style: Option<&Style>,
    wanted: Wanted,
    diagnostics: &mut Diagnostics,
) -> Option<Compiled> {
    let score = read(source, diagnostics)?;
    font::missing::warn(source, &fonts.text, diagnostics);
    let style = style_of(&score, style, diagnostics)?;
    Some(pages::compose(fonts, &style, source, &score, wanted, diagnostics))
}

/// Compiles one text for screens, without pages; nothing where it has faults.
pub fn compile_flowing(
    source: &Source,
    fonts: &Fonts,
    style: Option<&Style>,
    diagnostics: &mut Diagnostics,
) -> Option<Flowing> {
    let score = read(source, diagnostics)?;
    font::missing::warn(source, &fonts.text, diagnostics);
    let style = style_of(&score, style, diagnostics)?;
    Some(pages::flowing::compose(fonts, &style, source, &score))
}

fn style_of<'a>(
    score: &Score,
    given: Option<&'a Style>,
    diagnostics: &mut Diagnostics,
) -> Option<Cow<'a, Style>> {
    match given {
        Some(style) => Some(Cow::Borrowed(style)),
        None => match Style::built_in(score.header.look) {
            Ok(style) => Some(Cow::Owned(style)),
            Err(error) => {
                diagnostics.error(Span::default(), error.to_string());
                None
            }
        },
    }
}
