//! Grace notes: small, before the beat, in room of their own (Gould, *Behind Bars*, "Grace notes",
//! from memory). One is slashed; two and three are beamed as sixteenths.

use super::chord::{ChordShape, y_of};
use super::context::Context;
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{Anchor, Glyph};
use kurbo::{BezPath, Point, Rect};

/// How far grace notes reach to the left of their main note's ink; nought without any.
pub fn width(context: &Context<'_>, chord: &ChordShape) -> f64 {
    if chord.grace == 0 {
        return 0.0;
    }
    let head = context.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width();
    let style = context.style;
    style.grace_gap
        + head * style.grace_scale
        + f64::from(chord.grace - 1) * style.grace_pitch
        + 0.1
}

/// Centres of the grace heads, left to right, from the centre of the main note's column.
pub fn centres(context: &Context<'_>, chord: &ChordShape) -> Vec<f64> {
    let style = context.style;
    let head = context.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width() * style.grace_scale;
    let last = -chord.left - style.grace_gap - head / 2.0;
    (0..chord.grace).rev().map(|i| last - f64::from(i) * style.grace_pitch).collect()
}

/// The marks of a chord's grace notes; `x` is the centre of its column.
pub fn marks(context: &Context<'_>, chord: &ChordShape, x: f64, slurred: bool) -> Vec<Mark> {
    let centres = centres(context, chord);
    let (Some(first), Some(last)) = (centres.first(), centres.last()) else { return Vec::new() };
    let style = context.style;
    let scale = style.grace_scale;
    let music = &context.fonts.music;
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
        marks.push(context.glyph_scaled(Kind::Grace, Glyph::NOTEHEAD_BLACK, origin, y, scale));
        let right = stem_right(*centre);
        let stem = Rect::new(right - thickness, tip, right, y + anchor.y * scale);
        marks.push(Mark::new(Kind::Grace, Shape::Box(stem)));
    }
    if centres.len() == 1 {
        let left = stem_right(*first) - thickness;
        marks.push(context.glyph_scaled(Kind::Grace, Glyph::FLAG_8TH_UP, left, tip, scale));
        let slash = slash(context, left, tip);
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
        let from = Point::new(x + first, y + head.y1 * scale + 0.2);
        let to = Point::new(x - 0.15, y_of(chord.lowest()) + head.y1 + 0.2);
        marks.push(Mark::new(Kind::Slur, Shape::Path(super::curve::bow(context, from, to, 1.0))));
    }
    marks
}

/// The stroke through a single grace note's stem and flag, rising to the right.
fn slash(context: &Context<'_>, stem_left: f64, tip: f64) -> BezPath {
    let music = &context.fonts.music;
    let scale = context.style.grace_scale;
    let at = |anchor, fallback: (f64, f64)| {
        let p =
            music.anchor(Glyph::FLAG_8TH_UP, anchor).unwrap_or(Point::new(fallback.0, fallback.1));
        Point::new(stem_left + p.x * scale, tip + p.y * scale)
    };
    let from = at(Anchor::GraceNoteSlashSW, (-0.6, 2.2));
    let to = at(Anchor::GraceNoteSlashNE, (1.3, 0.7));
    super::curve::stroke(from, to, music.defaults().stem_thickness)
}
