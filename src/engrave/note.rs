//! Draws chords and rests at their places.

use super::beam::PlacedBeam;
use super::canvas::Canvas;
use super::chord;
use super::chord::{ChordShape, Stems, ghost_edges, outer_line};
use super::engraver::Engraver;
use super::grace;
use super::rhythm::{EventKind, WrittenEvent};
use super::symbol::{flag_glyph, rest_glyph};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{FaceStyle, Glyph};
use crate::score::Block;
use crate::score::settings::Staff;
use kurbo::Rect;

/// Draws a chord with the centre of its column at `x`.
pub fn draw(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    chord: &ChordShape,
    x: f64,
    beam: Option<&PlacedBeam>,
) {
    let music = &engraver.fonts.music;
    let place = engraver.place(chord.span);
    ledgers(canvas, engraver, chord, x, block.settings.staff);
    for mark in grace::marks(engraver, chord, x, block.settings.staff, block.settings.grace_slurs) {
        canvas.push_at(mark, place);
    }
    for head in &chord.heads {
        canvas.push_at(engraver.glyph(Kind::Notehead, head.glyph, x + head.x, head.y()), place);
        if let Some((left, right)) = ghost_edges(engraver, &chord.heads, head) {
            let open = Glyph::NOTEHEAD_PARENTHESIS_LEFT;
            let close = Glyph::NOTEHEAD_PARENTHESIS_RIGHT;
            let open_x = x + left - music.bounds(open).x0;
            let close_x = x + right - music.bounds(close).x1;
            canvas.push_at(engraver.glyph(Kind::GhostBracket, open, open_x, head.y()), place);
            canvas.push_at(engraver.glyph(Kind::GhostBracket, close, close_x, head.y()), place);
        }
    }
    for (dx, y) in &chord.dots {
        canvas.push_at(engraver.glyph(Kind::Dot, Glyph::AUGMENTATION_DOT, x + dx, *y), place);
    }
    if chord.value.has_stem() {
        let left = x + chord.stem_x;
        let right = left + music.defaults().stem_thickness;
        let (top, bottom) =
            (chord.stem_tip.min(chord.stem_foot), chord.stem_tip.max(chord.stem_foot));
        let stem = Rect::new(left, top, right, bottom);
        canvas.push_at(Mark::new(Kind::Stem, Shape::Box(stem)), place);
        if beam.is_none()
            && let Some(flag) = flag_glyph(chord.value, chord.stems)
        {
            canvas.push_at(engraver.glyph(Kind::Flag, flag, left, chord.stem_tip), place);
        }
    }
    strokes(canvas, engraver, chord, x, beam);
}

/// What a chord's stem carries: strokes or the buzz z.
pub fn stroke_glyph(chord: &ChordShape) -> Option<Glyph> {
    match (chord.buzz, chord.strokes) {
        (true, _) => Some(Glyph::BUZZ_ROLL),
        (false, 0) => None,
        (false, 1) => Some(Glyph::TREMOLO_1),
        (false, 2) => Some(Glyph::TREMOLO_2),
        (false, _) => Some(Glyph::TREMOLO_3),
    }
}

/// Strokes and the buzz z stand in the middle of the free part of the stem.
fn strokes(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    chord: &ChordShape,
    x: f64,
    beam: Option<&PlacedBeam>,
) {
    let Some(glyph) = stroke_glyph(chord) else { return };
    let kind = if chord.buzz { Kind::Buzz } else { Kind::Stroke };
    let bounds = engraver.fonts.music.bounds(glyph);
    let sign = chord.stems.sign();
    let near =
        chord::y_of(chord.outer()) + sign * if chord.has_ghost_at_stem() { 0.9 } else { 0.55 };
    let (stroke_x, far) = if chord.value.has_stem() {
        let inset = beam.map_or_else(|| chord::flag_depth(engraver, chord), |beam| beam.depth);
        let middle = x + chord.stem_x + engraver.fonts.music.defaults().stem_thickness / 2.0;
        (middle, chord.stem_tip - sign * inset)
    } else {
        (x, near + sign * (bounds.height() + 0.6))
    };
    let y = (near + far) / 2.0 - (bounds.y0 + bounds.y1) / 2.0;
    let origin = stroke_x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push_at(engraver.glyph(kind, glyph, origin, y), engraver.place(chord.span));
}

fn ledgers(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    chord: &ChordShape,
    x: f64,
    staff: Staff,
) {
    if staff != Staff::FiveLines {
        return;
    }
    let music = &engraver.fonts.music;
    let defaults = music.defaults();
    let outer = outer_line(staff);
    for (extreme, direction) in [(chord.heads.last(), 1), (chord.heads.first(), -1)] {
        let Some(extreme) = extreme else { continue };
        let mut position = outer + 2;
        while position <= extreme.position * direction {
            // It passes under every head that stands on it or beyond it.
            let beyond = chord.heads.iter().filter(|h| h.position * direction >= position);
            let (left, right) =
                beyond.fold((f64::INFINITY, f64::NEG_INFINITY), |(left, right), h| {
                    let bounds = music.bounds(h.glyph);
                    (left.min(h.x + bounds.x0), right.max(h.x + bounds.x1))
                });
            let y = chord::y_of(position * direction);
            let half = defaults.leger_line_thickness / 2.0;
            let reach = defaults.leger_line_extension;
            let rect = Rect::new(x + left - reach, y - half, x + right + reach, y + half);
            canvas.push(Mark::new(Kind::Ledger, Shape::Box(rect)));
            position += 2;
        }
    }
}

/// Half the width over which a sign must be clear.
const SIGN_REACH: f64 = 0.7;

/// Draws a chord's signs outside its ink and the staff, nearest first.
pub fn draw_signs(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    chord: &ChordShape,
    x: f64,
    staff: (f64, f64),
) {
    let gap = engraver.style.stack_gap;
    let x = x + chord.shift;
    for sign in &chord.signs {
        let up = chord.stems == Stems::Up;
        let glyph = if up { sign.above } else { sign.below };
        let bounds = engraver.fonts.music.bounds(glyph);
        // Wide enough to meet the stem and the beam at its side.
        let half = (bounds.width() / 2.0).max(SIGN_REACH);
        let y = if up {
            canvas.skyline.top(x - half, x + half, staff.0) - gap - bounds.y1
        } else {
            canvas.skyline.bottom(x - half, x + half, staff.1) + gap - bounds.y0
        };
        let origin = x - (bounds.x0 + bounds.x1) / 2.0;
        canvas.push_at(engraver.glyph(sign.kind, glyph, origin, y), engraver.place(chord.span));
    }
    if let Some(strokes) = chord.roll {
        roll_number(canvas, engraver, chord, strokes, (x, staff));
    }
}

/// How many strokes a roll has, in upright figures outside all signs (Gould, *Behind Bars*,
/// "Percussion", from memory).
fn roll_number(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    chord: &ChordShape,
    strokes: u8,
    (x, staff): (f64, (f64, f64)),
) {
    let points = engraver.style.words_pt;
    let (run, width) = engraver.words(&strokes.to_string(), FaceStyle::Regular, points);
    let height = engraver.fonts.text.cap_height(FaceStyle::Regular) * engraver.pt(points);
    let half = (width / 2.0).max(SIGN_REACH);
    let gap = engraver.style.stack_gap;
    let y = match chord.stems {
        Stems::Up => canvas.skyline.top(x - half, x + half, staff.0) - gap,
        Stems::Down => canvas.skyline.bottom(x - half, x + half, staff.1) + gap + height,
    };
    let text = engraver.text(Kind::RollNumber, run, x - width / 2.0, y, points);
    canvas.push_at(text, engraver.place(chord.span));
}

/// What a rest has to keep clear of.
#[derive(Clone, Copy, Debug, Default)]
pub struct RestRoom {
    /// The side its voice keeps to, where there are two.
    pub voice: Option<Stems>,
    /// y of the other voice's nearest ink at the same moment.
    pub other_voice: Option<f64>,
}

/// The y of a rest's origin: the middle of the staff, or where there are two voices two spaces up
/// or down (Gould, *Behind Bars*, "Rests in double-stemmed writing", from memory) and further by
/// whole spaces where the other voice is in its way.
pub fn rest_y(engraver: &Engraver<'_>, event: &WrittenEvent, room: &RestRoom, staff: Staff) -> f64 {
    let bounds = engraver.fonts.music.bounds(rest_glyph(event.value));
    let hangs = event.value.halvings <= 0 && staff == Staff::FiveLines;
    let y = if hangs { -1.0 } else { 0.0 };
    match (room.voice, event.kind) {
        (Some(stems), EventKind::Rest) => {
            clear(y + stems.sign() * 2.0, bounds, room.other_voice, stems.sign())
        }
        _ => y,
    }
}

/// Draws a rest with its centre at `x` and its origin at `y`.
pub fn draw_rest(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    event: &WrittenEvent,
    x: f64,
    y: f64,
) {
    let glyph = rest_glyph(event.value);
    let bounds = engraver.fonts.music.bounds(glyph);
    let origin = x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push(engraver.glyph(Kind::Rest, glyph, origin, y));
    if event.value.dots > 0 {
        let dot_x = x + bounds.width() / 2.0 + engraver.style.dot_gap;
        canvas.push(engraver.glyph(Kind::Dot, Glyph::AUGMENTATION_DOT, dot_x, y - 0.5));
    }
}

/// Steps of whole spaces a rest may be moved by to get clear.
const MOST_STEPS: usize = 8;
/// Least space between a rest and what it keeps clear of.
const REST_GAP: f64 = 0.35;

/// `y` moved in a direction by whole spaces until a box at it is past an edge.
fn clear(mut y: f64, bounds: Rect, edge: Option<f64>, direction: f64) -> f64 {
    let Some(edge) = edge else { return y };
    for _ in 0..MOST_STEPS {
        let near = y + if direction < 0.0 { bounds.y1 } else { bounds.y0 };
        if (near - edge) * direction >= REST_GAP {
            break;
        }
        y += direction;
    }
    y
}
