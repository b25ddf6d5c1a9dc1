//! The sizes of dynamics and of hairpins.

use crate::engrave::engraver::Engraver;
use crate::engrave::measure::dashes::{AFTER_DASHES, BEFORE_DASHES, DASH};
use crate::font::{FaceStyle, Glyph, GlyphRun};
use crate::score::DynamicKind;
use crate::score::dynamic::GradualSign;
use std::sync::Arc;

/// Between a hairpin and the letters at its ends (no source).
pub const PIN_GAP: f64 = 0.65;
/// Between the ink of letters and that of others (no source).
pub const LETTERS_GAP: f64 = 0.5;
/// The least length of a hairpin (Gould, *Behind Bars*, "Hairpins", from memory).
pub const LEAST_PIN: f64 = 3.0;

/// The glyphs of a dynamic; none for hairpins and their ends.
pub fn glyphs(kind: &DynamicKind) -> Vec<Glyph> {
    match kind {
        DynamicKind::Letters(letters) => letters.text().chars().filter_map(glyph).collect(),
        DynamicKind::Louder(_) | DynamicKind::Softer(_) | DynamicKind::End => Vec::new(),
    }
}

/// The words of a gradual change; in brackets where it comes from the line before.
pub fn gradual_words(engraver: &Engraver<'_>, louder: bool, goes_on: bool) -> (Arc<GlyphRun>, f64) {
    let words = match (louder, goes_on) {
        (true, false) => "cresc.",
        (true, true) => "(cresc.)",
        (false, false) => "dim.",
        (false, true) => "(dim.)",
    };
    engraver.words(words, FaceStyle::Italic, engraver.points(engraver.style.words))
}

/// The least length of a gradual change; zero for what is none.
pub fn least_length(engraver: &Engraver<'_>, kind: DynamicKind) -> f64 {
    let words =
        |louder| gradual_words(engraver, louder, false).1 + BEFORE_DASHES + DASH + AFTER_DASHES;
    match kind {
        DynamicKind::Louder(GradualSign::Hairpin) | DynamicKind::Softer(GradualSign::Hairpin) => {
            LEAST_PIN
        }
        DynamicKind::Louder(GradualSign::Words) => words(true),
        DynamicKind::Softer(GradualSign::Words) => words(false),
        DynamicKind::Letters(_) | DynamicKind::End => 0.0,
    }
}

fn glyph(letter: char) -> Option<Glyph> {
    match letter {
        'p' => Some(Glyph::DYNAMIC_PIANO),
        'm' => Some(Glyph::DYNAMIC_MEZZO),
        'f' => Some(Glyph::DYNAMIC_FORTE),
        'r' => Some(Glyph::DYNAMIC_RINFORZANDO),
        's' => Some(Glyph::DYNAMIC_SFORZANDO),
        'z' => Some(Glyph::DYNAMIC_Z),
        'n' => Some(Glyph::DYNAMIC_NIENTE),
        _ => None,
    }
}

/// How far the ink of dynamic letters reaches to the left and to the right of their middle, positive:
/// slanted letters lean over their advance.
pub fn reach(engraver: &Engraver<'_>, glyphs: &[Glyph]) -> (f64, f64) {
    let half = width(engraver, glyphs) / 2.0;
    let (mut x, mut reach) = (-half, (half, half));
    for glyph in glyphs {
        let bounds = engraver.fonts.music.bounds(*glyph);
        reach = (reach.0.max(-(x + bounds.x0)), reach.1.max(x + bounds.x1));
        x += engraver.fonts.music.advance(*glyph);
    }
    reach
}

/// Width of dynamic letters.
pub fn width(engraver: &Engraver<'_>, glyphs: &[Glyph]) -> f64 {
    glyphs.iter().map(|g| engraver.fonts.music.advance(*g)).sum()
}
