//! Signs over or under chords, and the numbers of rolls.

use super::canvas::Canvas;
use crate::drawing::Kind;
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::staff::Stems;
use crate::font::FaceStyle;

/// Half the width over which a sign must be clear: enough to meet the stem and the beam at its side
/// (no source).
const SIGN_REACH: f64 = 0.7;

/// What stands at a note that was not heard for certain: editors put what they add in brackets (common
/// practice, no source).
const UNCLEAR: &str = "(?)";

/// Draws a chord's signs outside its ink and the staff, nearest first.
pub fn draw(canvas: &mut Canvas<'_>, chord: &ChordShape, x: f64, staff: (f64, f64)) {
    let engraver = canvas.engraver;
    let gap = engraver.style.stack_gap;
    let x = x + chord.shift;
    for sign in &chord.signs {
        let up = chord.stems == Stems::Up;
        let glyph = if up { sign.above } else { sign.below };
        let bounds = engraver.fonts.music.bounds(glyph);
        let half = (bounds.width() / 2.0).max(SIGN_REACH);
        let y = if up {
            canvas.skyline.top(x - half, x + half, staff.0) - gap - bounds.y1
        } else {
            canvas.skyline.bottom(x - half, x + half, staff.1) + gap - bounds.y0
        };
        let origin = x - (bounds.x0 + bounds.x1) / 2.0;
        canvas.push_at(engraver.glyph(sign.kind, glyph, origin, y), Some(chord.span));
    }
    // How many strokes a roll has, in upright figures outside all signs (Gould, *Behind Bars*,
    // "Percussion", from memory).
    if let Some(strokes) = chord.roll {
        words(canvas, chord, (Kind::RollNumber, &strokes.to_string()), (x, staff));
    }
    if chord.unclear {
        words(canvas, chord, (Kind::Unclear, UNCLEAR), (x, staff));
    }
}

/// Draws words outside all signs of a chord.
fn words(
    canvas: &mut Canvas<'_>,
    chord: &ChordShape,
    (kind, words): (Kind, &str),
    (x, staff): (f64, (f64, f64)),
) {
    let engraver = canvas.engraver;
    let points = engraver.points(engraver.style.words);
    let (run, width) = engraver.words(words, FaceStyle::Regular, points);
    let height = engraver.fonts.text.cap_height(FaceStyle::Regular) * engraver.pt(points);
    let half = (width / 2.0).max(SIGN_REACH);
    let gap = engraver.style.stack_gap;
    // Figures have no descenders; brackets reach further than they on both sides.
    let (rise, fall) = match kind == Kind::Unclear {
        true => {
            let ink = engraver.bounds(&engraver.text(kind, run.clone(), 0.0, 0.0, points).shape);
            (-ink.y0, ink.y1)
        }
        false => (height, 0.0),
    };
    let y = match chord.stems {
        Stems::Up => canvas.skyline.top(x - half, x + half, staff.0) - gap - fall,
        Stems::Down => canvas.skyline.bottom(x - half, x + half, staff.1) + gap + rise,
    };
    let text = engraver.text(kind, run, x - width / 2.0, y, points);
    canvas.push_at(text, Some(chord.span));
}
