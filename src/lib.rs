//! Flamacue turns drum-text into engraved pages.
//!
//! Data flows one way: [`source`], [`syntax`], [`interpret`], [`derive`], then [`perform`] for what is
//! heard and [`engrave`], [`pages`], [`drawing`], [`write`](mod@write) for what is seen; a later stage
//! never reaches back. [`score`], the model, is what they share. [`session`] keeps a text that is edited, and
//! [`assist`] answers what an editor asks about it.
//!
//! The library reads no files and no clock. Its features are `png`, PNG pictures, and `parallel`, work
//! on all processors at once; without them it starts no thread, and what it writes is the same. The
//! feature `cli` is for the command alone.

pub mod assist;
pub mod derive;
pub mod desk;
pub mod drawing;
pub mod engrave;
pub mod film;
pub mod font;
pub mod interpret;
mod memo;
pub mod pages;
mod parallel;
pub mod perform;
pub mod practice;
pub mod rope;
pub mod score;
pub mod session;
pub mod sound;
pub mod source;
pub mod syntax;
pub mod write;

pub use parallel::{Stop, meanwhile, share_this_thread};

use derive::{Budget, CanPlay};
use drawing::{Colours, Drawing};
use engrave::Style;
use font::Fonts;
use interpret::Reading;
use pages::flowing::Flowing;
use pages::{Composed, Wanted};
use parallel::Each;
use score::Score;
use source::{Diagnostics, Source, Span};
use std::borrow::Cow;
use syntax::tree::Document;
use write::pdf::{PdfLines, PdfOptions, PdfPages};

/// What a text comes to: its pages, and a cropped picture of each block.
pub type Compiled = Composed;

/// What a text means. Everything found wrong goes to `diagnostics`; nothing is returned where any
/// of it is an error.
pub fn read(source: &Source, diagnostics: &mut Diagnostics) -> Option<Score> {
    let score = understand(source, diagnostics);
    (!diagnostics.has_errors()).then_some(score)
}

/// What a text means, as far as it can be understood. Everything found wrong goes to `diagnostics`;
/// what can't be played is told as a warning.
pub fn understand(source: &Source, diagnostics: &mut Diagnostics) -> Score {
    understand_within(source, Budget::of(source), diagnostics)
}

/// The same, where more or less may be made of it than of any text of its length.
pub fn understand_within(source: &Source, budget: Budget, diagnostics: &mut Diagnostics) -> Score {
    let document = syntax::parse(source, diagnostics);
    complete(source, interpret::read(document, diagnostics), budget, diagnostics)
}

/// Gives up what a text means once nobody needs it, of a long text while other work goes on.
pub fn give_up(score: Score) {
    parallel::give_up(Each::Small, score.items.len(), score);
}

/// The names of the editions a text has, in the order in which they are written.
pub fn editions(source: &Source) -> Vec<String> {
    interpret::editions(&syntax::parse(source, &mut Diagnostics::default()))
}

/// The names of the players a text has, in the order in which they come in.
pub fn players(source: &Source) -> Vec<String> {
    interpret::players(&syntax::parse(source, &mut Diagnostics::default()))
}

/// What a text means as one of its editions prints it, as [`read`] has it. A name that no edition has is an
/// error.
pub fn read_edition(
    source: &Source,
    edition: &str,
    diagnostics: &mut Diagnostics,
) -> Option<Score> {
    let score = understand_edition(source, edition, Budget::of(source), diagnostics);
    (!diagnostics.has_errors()).then_some(score)
}

/// The same as far as it can be understood, as [`understand_within`] has it.
pub fn understand_edition(
    source: &Source,
    edition: &str,
    budget: Budget,
    diagnostics: &mut Diagnostics,
) -> Score {
    let document = syntax::parse(source, diagnostics);
    let reading = interpret::read_edition(&document, edition, diagnostics);
    parallel::give_up(Each::Small, document.items.len(), document);
    complete(source, reading, budget, diagnostics)
}

/// The same, of a text that was parsed before.
pub fn understand_document(
    source: &Source,
    document: &Document,
    diagnostics: &mut Diagnostics,
) -> Score {
    complete(source, interpret::read(document, diagnostics), Budget::of(source), diagnostics)
}

fn complete(
    source: &Source,
    reading: Reading,
    budget: Budget,
    diagnostics: &mut Diagnostics,
) -> Score {
    let score = derive::complete(reading, &perform::can_play, budget, diagnostics);
    perform::check(source, &score, diagnostics);
    interpret::drop_followers_of_missing_files(diagnostics);
    score
}

/// How what a text makes of its blocks comes about, step by step; nothing where it has faults.
pub fn explain(source: &Source, diagnostics: &mut Diagnostics) -> Option<String> {
    explain_within(source, Budget::of(source), diagnostics)
}

/// The same, where more or less may be made of it than of any text of its length.
pub fn explain_within(
    source: &Source,
    budget: Budget,
    diagnostics: &mut Diagnostics,
) -> Option<String> {
    tell(source, derive::explain, budget, diagnostics)
}

/// The text with all that is made written out in plain rows; nothing where it has faults.
pub fn expand(source: &Source, diagnostics: &mut Diagnostics) -> Option<String> {
    expand_within(source, Budget::of(source), diagnostics)
}

/// The same, where more or less may be made of it than of any text of its length.
pub fn expand_within(
    source: &Source,
    budget: Budget,
    diagnostics: &mut Diagnostics,
) -> Option<String> {
    tell(source, derive::expand, budget, diagnostics)
}

fn tell(
    source: &Source,
    telling: fn(&Source, Reading, (CanPlay<'_>, Budget), &mut Diagnostics) -> Option<String>,
    budget: Budget,
    diagnostics: &mut Diagnostics,
) -> Option<String> {
    let document = syntax::parse(source, diagnostics);
    let well_written = !diagnostics.has_errors();
    let reading = interpret::read(document, diagnostics);
    if well_written {
        return telling(source, reading, (&perform::can_play, budget), diagnostics);
    }
    // All faults are shown at once, also those that only music has.
    complete(source, reading, budget, diagnostics);
    None
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
    let score = read(source, diagnostics)?;
    typeset(source, &score, fonts, style, Wanted::PagesAndPictures, diagnostics)
}

/// Compiles one text to its pages alone, without the pictures of its blocks; nothing where it has
/// faults.
pub fn compile_pages(
    source: &Source,
    fonts: &Fonts,
    style: Option<&Style>,
    diagnostics: &mut Diagnostics,
) -> Option<Drawing> {
    let score = read(source, diagnostics)?;
    Some(typeset(source, &score, fonts, style, Wanted::Pages, diagnostics)?.drawing)
}

/// Compiles one text for screens, without pages; nothing where it has faults.
pub fn compile_flowing(
    source: &Source,
    fonts: &Fonts,
    style: Option<&Style>,
    diagnostics: &mut Diagnostics,
) -> Option<Flowing> {
    let score = read(source, diagnostics)?;
    typeset_flowing(source, &score, fonts, style, diagnostics)
}

/// The pages of a score that was read without an error from a text; nothing where the style or a picture
/// can't be had. For one who must know the header before the fonts, whose files it may name
/// ([`Header::text_fonts`](score::Header::text_fonts)): the library reads no files.
pub fn typeset(
    source: &Source,
    score: &Score,
    fonts: &Fonts,
    style: Option<&Style>,
    wanted: Wanted,
    diagnostics: &mut Diagnostics,
) -> Option<Compiled> {
    font::missing::warn(source, &fonts.text, diagnostics);
    let style = style_of(score, style, diagnostics)?;
    let mut found = Diagnostics::default();
    let composed = pages::compose(fonts, &style, source, score, wanted, &mut found);
    // Pictures are read only here.
    let whole = !found.has_errors();
    diagnostics.absorb(found, 0);
    whole.then_some(composed)
}

/// The same pages for a PDF made in a certain way and for nothing else, in a part of the room: each line of music is
/// written as soon as it is set, and its music given up.
pub fn typeset_pdf(
    source: &Source,
    score: Score,
    fonts: &Fonts,
    style: Option<&Style>,
    options: PdfOptions,
    diagnostics: &mut Diagnostics,
) -> Option<PdfPages> {
    font::missing::warn(source, &fonts.text, diagnostics);
    let style = style_of(&score, style, diagnostics)?;
    let mut found = Diagnostics::default();
    let lines = PdfLines::new(fonts, Colours::of(&score.header), options);
    let laid_out = pages::compose_written(fonts, &style, source, score, &lines, &mut found);
    let whole = !found.has_errors();
    diagnostics.absorb(found, 0);
    let (layout, score) = laid_out.filter(|_| whole)?;
    Some(PdfPages::new(layout, score, options))
}

/// Finds what [`typeset`] finds, in a part of the time and of the room, for who wants to see no page.
pub fn check_pages(
    source: &Source,
    score: Score,
    fonts: &Fonts,
    style: Option<&Style>,
    diagnostics: &mut Diagnostics,
) {
    font::missing::warn(source, &fonts.text, diagnostics);
    if let Some(style) = style_of(&score, style, diagnostics) {
        let mut found = Diagnostics::default();
        pages::check(fonts, &style, source, score, &mut found);
        diagnostics.absorb(found, 0);
    }
}

/// The same for screens, without pages.
pub fn typeset_flowing(
    source: &Source,
    score: &Score,
    fonts: &Fonts,
    style: Option<&Style>,
    diagnostics: &mut Diagnostics,
) -> Option<Flowing> {
    font::missing::warn(source, &fonts.text, diagnostics);
    let style = style_of(score, style, diagnostics)?;
    let mut found = Diagnostics::default();
    let flowing = pages::flowing::compose(fonts, &style, source, score, &mut found);
    let whole = !found.has_errors();
    diagnostics.absorb(found, 0);
    whole.then_some(flowing)
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
