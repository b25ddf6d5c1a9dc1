//! Grace notes: small, before the beat, in room of their own (Gould, *Behind Bars*, "Grace notes",
//! from memory). One is slashed; two and three are beamed as sixteenths.

use super::chord::{ChordShape, outer_line, y_of};
use super::engraver::Engraver;
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{Anchor, Glyph};
use crate::score::settings::Staff;
use kurbo::{BezPath, Point, Rect};

/// How far grace notes reach to the left of their main note's ink; nought without any.
pub fn width(engraver: &Engraver<'_>, chord: &ChordShape) -> f64 {
    if chord.grace == 0 {
        return 0.0;
    }
    let head = engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width();
    let style = engraver.style;
    chord.grace_room
        + gap(engraver, chord)
        + head * style.grace_scale
        + f64::from(chord.grace - 1) * style.grace_pitch
        + 0.1
}

/// From the last grace head to the chord's ink. A single grace note's flag leans over the gap, so
/// it is wider where the chord has more than a plain head there.
fn gap(engraver: &Engraver<'_>, chord: &ChordShape) -> f64 {
    let style = engraver.style;
    let music = &engraver.fonts.music;
    let plain = chord.highest() <= chord.grace_position && chord.heads.iter().all(|h| !h.ghost);
    let flag = music.bounds(Glyph::FLAG_8TH_UP).width() * style.grace_scale;
    match (chord.grace, plain) {
        (1, true) => style.grace_gap.max(flag * 0.8),
        (1, false) => style.grace_gap.max(flag + 0.2),
        _ => style.grace_gap,
    }
}

/// The x of a chord's first and last grace note and the y of their stems' ends, for a beam that
/// passes over them; `x` is the centre of the chord's column.
pub fn under_beam(engraver: &Engraver<'_>, chord: &ChordShape, x: f64) -> Vec<(f64, f64)> {
    let tip = y_of(chord.grace_position) - engraver.style.grace_stem;
    let centres = centres(engraver, chord);
    let ends = centres.first().into_iter().chain(centres.last());
    ends.map(|centre| (x + centre, tip)).collect()
}

/// Centres of the grace heads, left to right, from the centre of the main note's column.
pub fn centres(engraver: &Engraver<'_>, chord: &ChordShape) -> Vec<f64> {
    let style = engraver.style;
    let head = engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width() * style.grace_scale;
    let last = -chord.left - chord.grace_room - gap(engraver, chord) - head / 2.0;
    (0..chord.grace).rev().map(|i| last - f64::from(i) * style.grace_pitch).collect()
}

/// The marks of a chord's grace notes; `x` is the centre of its column.
pub fn marks(
    engraver: &Engraver<'_>,
    chord: &ChordShape,
    x: f64,
    staff: Staff,
    slurred: bool,
) -> Vec<Mark> {
    let centres = centres(engraver, chord);
    let (Some(first), Some(last)) = (centres.first(), centres.last()) else { return Vec::new() };
    let style = engraver.style;
    let scale = style.grace_scale;
    let music = &engraver.fonts.music;
    let defaults = music.defaults();
    let head = music.bounds(Glyph::NOTEHEAD_BLACK);
    let anchor =
        music.anchor(Glyph::NOTEHEAD_BLACK, Anchor::StemUpSE).unwrap_or(Point::new(head.x1, 0.0));
    let y = y_of(chord.grace_position);
    let tip = y - style.grace_stem;
    let thickness = defaults.stem_thickness * 0.8;
    let stem_right = |centre: f64| x + centre + (anchor.x - (head.x0 + head.x1) / 2.0) * scale;
    let mut marks = Vec::new();
    for centre in &centres {
        let origin = x + centre - (head.x0 + head.x1) / 2.0 * scale;
        marks.push(engraver.glyph_scaled(Kind::Grace, Glyph::NOTEHEAD_BLACK, origin, y, scale));
        let right = stem_right(*centre);
        let stem = Rect::new(right - thickness, tip, right, y + anchor.y * scale);
        marks.push(Mark::new(Kind::Grace, Shape::Box(stem)));
    }
    if staff == Staff::FiveLines {
        ledgers(engraver, &mut marks, chord.grace_position, (x + first, x + last), head);
    }
    if centres.len() == 1 {
        let left = stem_right(*first) - thickness;
        marks.push(engraver.glyph_scaled(Kind::Grace, Glyph::FLAG_8TH_UP, left, tip, scale));
        let slash = slash(engraver, left, tip);
        marks.push(Mark::new(Kind::GraceSlash, Shape::Path(slash)));
    } else {
        let beam = defaults.beam_thickness * scale;
        for line in 0..2 {
            let top = tip + f64::from(line) * (beam + defaults.beam_spacing * scale);
            let beam =
                Rect::new(stem_right(*first) - thickness, top, stem_right(*last), top + beam);
            marks.push(Mark::new(Kind::Grace, Shape::Box(beam)));
        }
    }
    if slurred {
        // It ends short of the main note, where no other head or stem can be in its way.
        let below = y + head.y1 * scale + 0.15;
        let from = Point::new(x + first - head.width() * scale * 0.3, below);
        let to = Point::new(x - chord.left - 0.02, below + 0.1);
        marks.push(Mark::new(Kind::Slur, Shape::Path(super::curve::bow(engraver, from, to, 1.0))));
    }
    marks
}

/// Ledger lines of grace notes beyond the staff, from the first head to the last.
fn ledgers(
    engraver: &Engraver<'_>,
    marks: &mut Vec<Mark>,
    position: i32,
    (first, last): (f64, f64),
    head: Rect,
) {
    let defaults = engraver.fonts.music.defaults();
    let scale = engraver.style.grace_scale;
    let reach = (head.width() / 2.0 + defaults.leger_line_extension / 2.0) * scale;
    let half = defaults.leger_line_thickness / 2.0;
    let direction = position.signum();
    let mut line = outer_line(Staff::FiveLines) + 2;
    while line <= position.abs() {
        let y = y_of(line * direction);
        let rect = Rect::new(first - reach, y - half, last + reach, y + half);
        marks.push(Mark::new(Kind::Ledger, Shape::Box(rect)));
        line += 2;
    }
}

/// The stroke through a single grace note's stem and flag, rising to the right.
fn slash(engraver: &Engraver<'_>, stem_left: f64, tip: f64) -> BezPath {
    let music = &engraver.fonts.music;
    let scale = engraver.style.grace_scale;
    let at = |anchor, fallback: (f64, f64)| {
        let p =
            music.anchor(Glyph::FLAG_8TH_UP, anchor).unwrap_or(Point::new(fallback.0, fallback.1));
        Point::new(stem_left + p.x * scale, tip + p.y * scale)
    };
    let from = at(Anchor::GraceNoteSlashSW, (-0.6, 2.2));
    let to = at(Anchor::GraceNoteSlashNE, (1.3, 0.7));
    super::curve::stroke(from, to, music.defaults().stem_thickness)
}
