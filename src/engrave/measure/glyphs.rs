//! Which glyph a head, a flag, a rest or the strokes of a roll have.

use crate::engrave::notate::value::Value;
use crate::engrave::staff::Stems;
use crate::font::{Anchor, Glyph};
use crate::score::kit::Head;

/// The flag of an unbeamed note, and the anchor of it that lies on the free end of the stem (SMuFL 1.4,
/// "glyphsWithAnchors": a stem is lengthened so far that it meets all flags).
pub fn flag_glyph(value: Value, stems: Stems) -> Option<(Glyph, Anchor)> {
    let [up, down] = match value.flags() {
        0 => return None,
        1 => [Glyph::FLAG_8TH_UP, Glyph::FLAG_8TH_DOWN],
        2 => [Glyph::FLAG_16TH_UP, Glyph::FLAG_16TH_DOWN],
        3 => [Glyph::FLAG_32ND_UP, Glyph::FLAG_32ND_DOWN],
        4 => [Glyph::FLAG_64TH_UP, Glyph::FLAG_64TH_DOWN],
        5 => [Glyph::FLAG_128TH_UP, Glyph::FLAG_128TH_DOWN],
        _ => [Glyph::FLAG_256TH_UP, Glyph::FLAG_256TH_DOWN],
    };
    Some(match stems {
        Stems::Up => (up, Anchor::StemUpNW),
        Stems::Down => (down, Anchor::StemDownSW),
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
        7 => Glyph::REST_128TH,
        _ => Glyph::REST_256TH,
    }
}

/// The glyph of a head; a half note's is open and so is a whole note's, which has its own.
pub fn head_glyph(head: Head, value: Value) -> Glyph {
    let [whole, half, black] = match head {
        Head::Normal => [Glyph::NOTEHEAD_WHOLE, Glyph::NOTEHEAD_HALF, Glyph::NOTEHEAD_BLACK],
        Head::X => [Glyph::NOTEHEAD_X_WHOLE, Glyph::NOTEHEAD_X_HALF, Glyph::NOTEHEAD_X_BLACK],
        Head::CircledX => [
            Glyph::NOTEHEAD_CIRCLE_X_WHOLE,
            Glyph::NOTEHEAD_CIRCLE_X_HALF,
            Glyph::NOTEHEAD_CIRCLE_X,
        ],
        Head::Diamond => [
            Glyph::NOTEHEAD_DIAMOND_WHOLE,
            Glyph::NOTEHEAD_DIAMOND_HALF,
            Glyph::NOTEHEAD_DIAMOND_BLACK,
        ],
        Head::Triangle => [
            Glyph::NOTEHEAD_TRIANGLE_UP_WHOLE,
            Glyph::NOTEHEAD_TRIANGLE_UP_HALF,
            Glyph::NOTEHEAD_TRIANGLE_UP_BLACK,
        ],
        Head::Slash => [
            Glyph::NOTEHEAD_SLASH_WHITE_WHOLE,
            Glyph::NOTEHEAD_SLASH_WHITE_HALF,
            Glyph::NOTEHEAD_SLASH_VERTICAL_ENDS,
        ],
        // SMuFL has no whole form of the square head; its large white square is the broader one.
        Head::Square => [
            Glyph::NOTEHEAD_SQUARE_BLACK_WHITE,
            Glyph::NOTEHEAD_SQUARE_WHITE,
            Glyph::NOTEHEAD_SQUARE_BLACK,
        ],
        Head::Plus => {
            [Glyph::NOTEHEAD_PLUS_WHOLE, Glyph::NOTEHEAD_PLUS_HALF, Glyph::NOTEHEAD_PLUS_BLACK]
        }
    };
    match value.halvings {
        ..=0 => whole,
        1 => half,
        _ => black,
    }
}

/// What a stem carries: strokes or the buzz z.
pub fn stroke_glyph(buzz: bool, strokes: u8) -> Option<Glyph> {
    match (buzz, strokes) {
        (true, _) => Some(Glyph::BUZZ_ROLL),
        (false, 0) => None,
        (false, 1) => Some(Glyph::TREMOLO_1),
        (false, 2) => Some(Glyph::TREMOLO_2),
        (false, _) => Some(Glyph::TREMOLO_3),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::expect_used, reason = "a test stops at the first surprise")]

    use super::*;
    use crate::font::MusicFont;

    #[test]
    fn every_head_has_a_black_a_half_and_a_whole_form() {
        let font = MusicFont::calfskin().expect("the built-in font reads");
        for head in Head::ALL {
            let glyphs = [0, 1, 2].map(|halvings| head_glyph(head, Value { halvings, dots: 0 }));
            let [whole, half, black] = glyphs;
            assert!(whole != half && half != black && whole != black, "{head:?}: {glyphs:?}");
            for glyph in glyphs {
                assert!(font.has(glyph), "{head:?}: the font has no {}", glyph.name());
            }
            let [wide, open, full] = glyphs.map(|glyph| font.bounds(glyph).width());
            assert!(wide > open && wide > full, "{head:?}: {wide}, {open}, {full}");
        }
    }
}
