//! The glyphs of flags and rests.

use super::chord::Stems;
use super::value::Value;
use crate::font::Glyph;

/// The flag of an unbeamed note.
pub fn flag_glyph(value: Value, stems: Stems) -> Option<Glyph> {
    let [up, down] = match value.flags() {
        0 => return None,
        1 => [Glyph::FLAG_8TH_UP, Glyph::FLAG_8TH_DOWN],
        2 => [Glyph::FLAG_16TH_UP, Glyph::FLAG_16TH_DOWN],
        3 => [Glyph::FLAG_32ND_UP, Glyph::FLAG_32ND_DOWN],
        4 => [Glyph::FLAG_64TH_UP, Glyph::FLAG_64TH_DOWN],
        _ => [Glyph::FLAG_128TH_UP, Glyph::FLAG_128TH_DOWN],
    };
    Some(match stems {
        Stems::Up => up,
        Stems::Down => down,
    })
}

/// The glyph of a rest.
pub fn rest_glyph(value: Value) -> Glyph {
    match value.halvings {
        ..0 => Glyph::REST_DOUBLE_WHOLE,
        0 => Glyph::REST_WHOLE,
        1 => Glyph::REST_HALF,
        2 => Glyph::REST_QUARTER,
        3 => Glyph::REST_8TH,
        4 => Glyph::REST_16TH,
        5 => Glyph::REST_32ND,
        6 => Glyph::REST_64TH,
        _ => Glyph::REST_128TH,
    }
}
