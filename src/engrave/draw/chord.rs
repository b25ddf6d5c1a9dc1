//! Chords at their places: heads, dots, stem, flag and strokes.

use super::beam_place::PlacedBeam;
use super::canvas::Canvas;
use super::{grace, ledgers};
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::measure::glyphs::flag_glyph;
use crate::engrave::measure::head::{HeadShape, ghost_edges};
use crate::engrave::measure::stem;
use crate::engrave::staff::y_of;
use crate::font::Glyph;
use crate::score::PlayerPart;
use kurbo::Rect;

/// From a head to where strokes may begin; the same from one in brackets (no source).
const STROKES_OFF_HEAD: (f64, f64) = (0.55, 0.9);
/// Room of strokes beside their own height where there is no stem (no source).
const STEMLESS_ROOM: f64 = 0.6;

/// Draws a chord with the centre of its column at `x`.
pub fn draw(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    chord: &ChordShape,
    x: f64,
    beam: Option<&PlacedBeam>,
) {
    let engraver = canvas.engraver;
    let settings = &part.settings;
    let place = Some(chord.span);
    ledgers::draw(canvas, chord, x, settings.staff);
    for mark in grace::marks(engraver, chord, x, settings.staff, settings.grace_slurs) {
        canvas.push_at(mark, place);
    }
    for head in &chord.heads {
        draw_head(canvas, chord, head, x);
    }
    for (dx, y) in &chord.dots {
        canvas.push_at(engraver.glyph(Kind::Dot, Glyph::AUGMENTATION_DOT, x + dx, *y), place);
    }
    if chord.value.has_stem() && !chord.slash {
        draw_stem(canvas, chord, x, beam.is_some());
    }
    strokes(canvas, chord, x, beam);
}

/// Draws a head and its brackets, each at the place of its own row.
fn draw_head(canvas: &mut Canvas<'_>, chord: &ChordShape, head: &HeadShape, x: f64) {
    let engraver = canvas.engraver;
    let music = &engraver.fonts.music;
    let place = Some(head.span);
    let y = head.y();
    canvas.push_at(engraver.glyph(Kind::Notehead, head.glyph, x + head.x, y), place);
    if let Some((left, right)) = ghost_edges(engraver, &chord.heads, head) {
        let open = Glyph::NOTEHEAD_PARENTHESIS_LEFT;
        let close = Glyph::NOTEHEAD_PARENTHESIS_RIGHT;
        let open_x = x + left - music.bounds(open).x0;
        let close_x = x + right - music.bounds(close).x1;
        canvas.push_at(engraver.glyph(Kind::GhostBracket, open, open_x, y), place);
        canvas.push_at(engraver.glyph(Kind::GhostBracket, close, close_x, y), place);
    }
}

/// Draws a stem, with its flag where it hangs on no beam.
fn draw_stem(canvas: &mut Canvas<'_>, chord: &ChordShape, x: f64, beamed: bool) {
    let engraver = canvas.engraver;
    let place = Some(chord.span);
    let left = x + chord.stem_x;
    let right = left + engraver.fonts.music.defaults().stem_thickness;
    let (top, bottom) = (chord.stem_tip.min(chord.stem_foot), chord.stem_tip.max(chord.stem_foot));
    let stem = Rect::new(left, top, right, bottom);
    canvas.push_at(Mark::new(Kind::Stem, Shape::Box(stem)), place);
    if !beamed && let Some((flag, end)) = flag_glyph(chord.value, chord.stems) {
        let end = engraver.fonts.music.anchor(flag, end).map_or(0.0, |end| end.y);
        canvas.push_at(engraver.glyph(Kind::Flag, flag, left, chord.stem_tip - end), place);
    }
}

/// Strokes, the buzz z and the sign of an instrument stand in the middle of the free part of the stem.
fn strokes(canvas: &mut Canvas<'_>, chord: &ChordShape, x: f64, beam: Option<&PlacedBeam>) {
    let engraver = canvas.engraver;
    let Some((glyph, _)) = chord.stem_mark() else { return };
    let kind = if chord.buzz { Kind::Buzz } else { Kind::Stroke };
    let bounds = engraver.fonts.music.bounds(glyph);
    let sign = chord.stems.sign();
    let (plain, bracketed) = STROKES_OFF_HEAD;
    let off = if chord.has_ghost_at_stem() { bracketed } else { plain };
    let near = y_of(chord.outer()) + sign * off;
    let (stroke_x, far) = if chord.value.has_stem() {
        let inset = beam.map_or_else(|| stem::flag_depth(engraver, chord), |beam| beam.depth);
        let middle = x + chord.stem_x + engraver.fonts.music.defaults().stem_thickness / 2.0;
        (middle, chord.stem_tip - sign * inset)
    } else {
        (x, near + sign * (bounds.height() + STEMLESS_ROOM))
    };
    let y = (near + far) / 2.0 - (bounds.y0 + bounds.y1) / 2.0;
    let origin = stroke_x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push_at(engraver.glyph(kind, glyph, origin, y), Some(chord.span));
}
