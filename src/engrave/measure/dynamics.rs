//! The sizes of dynamics and of hairpins.

use crate::engrave::engraver::Engraver;
use crate::font::Glyph;
use crate::score::DynamicKind;

/// Between a hairpin and the letters at its ends (no source).
pub const PIN_GAP: f64 = 0.65;
/// The least length of a hairpin (Gould, *Behind Bars*, "Hairpins", from memory).
pub const LEAST_PIN: f64 = 3.0;

/// The glyphs of a dynamic; none for hairpins and their ends.
pub fn glyphs(kind: &DynamicKind) -> Vec<Glyph> {
    match kind {
        DynamicKind::Letters(letters) => letters.text().chars().filter_map(glyph).collect(),
        DynamicKind::Louder | DynamicKind::Softer | DynamicKind::End => Vec::new(),
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

/// Width of dynamic letters.
pub fn width(engraver: &Engraver<'_>, glyphs: &[Glyph]) -> f64 {
    glyphs.iter().map(|g| engraver.fonts.music.advance(*g)).sum()
}
