//! Where beams lie: slant, height, and the stems that reach them.
//!
//! A beam's slant follows its outer notes within limits, and is flat where an inner note stands
//! nearer the beam than both of them, or the outer notes are the same (Ross, *The Art of Music
//! Engraving and Processing*, "Beams", from memory).

use super::beaming::{Beam, Side};
use super::chord::{self, ChordShape, Stems};
use super::context::Context;
use super::curve;
use crate::drawing::{Kind, Mark, Shape};
use crate::score::settings::Staff;
use kurbo::Point;

/// A beam in place: the line along the outer edge of its primary beam.
#[derive(Clone, Copy, Debug)]
pub struct PlacedBeam {
    /// x of the first stem's middle.
    pub x: f64,
    /// y there.
    pub y: f64,
    /// Rise (negative) or fall of y for each space of x.
    pub slope: f64,
    /// x of the last stem's middle.
    pub end: f64,
    /// How far the stack of beams reaches inwards from the edge.
    pub depth: f64,
}

impl PlacedBeam {
    /// y of the outer edge at an x.
    pub fn y_at(&self, x: f64) -> f64 {
        self.y + (x - self.x) * self.slope
    }
}

/// Finds a beam's place and makes its stems reach it. `chords` gives each chord with the x of its
/// column.
pub fn place(
    context: &Context<'_>,
    beam: &Beam,
    chords: &mut [(f64, &mut ChordShape)],
    staff: Staff,
) -> PlacedBeam {
    let defaults = context.fonts.music.defaults();
    let style = context.style;
    let middle = |x: f64, c: &ChordShape| x + c.stem_x + defaults.stem_thickness / 2.0;
    let stems = chords.first().map_or(Stems::Up, |(_, c)| c.stems);
    let sign = stems.sign();
    let lines = beam.lines.iter().map(|l| l.level + 1).max().unwrap_or(1);
    let pitch = defaults.beam_thickness + defaults.beam_spacing;
    let depth = (lines - 1) as f64 * pitch + defaults.beam_thickness;

    let xs: Vec<f64> = chords.iter().map(|(x, c)| middle(*x, c)).collect();
    let (first_x, last_x) = (xs.first().copied().unwrap_or(0.0), xs.last().copied().unwrap_or(0.0));
    let slope = slope(style, chords, first_x, last_x, sign);

    let mut edge = f64::NEG_INFINITY;
    for ((_, chord), x) in chords.iter().zip(&xs) {
        let length = length_under_beam(context, chord, staff, depth);
        let head = chord::y_of(chord.outer());
        // Along the stem's direction, the edge must lie at least `length` beyond the head.
        edge = edge.max(sign * (head - (x - first_x) * slope) + length);
    }
    let y = sign * edge;
    let placed = PlacedBeam { x: first_x, y, slope, end: last_x, depth };
    for ((_, chord), x) in chords.iter_mut().zip(&xs) {
        chord.stem_tip = placed.y_at(*x);
    }
    placed
}

fn length_under_beam(context: &Context<'_>, chord: &ChordShape, staff: Staff, depth: f64) -> f64 {
    let style = context.style;
    let beyond = match chord.stems {
        Stems::Up => chord.outer() - chord::outer_line(staff),
        Stems::Down => -chord.outer() - chord::outer_line(staff),
    };
    let length =
        (style.stem - style.stem_shortening * f64::from(beyond.max(0))).max(style.stem_min);
    let mut free = style.stem_under_beam;
    if chord.strokes > 0 || chord.buzz {
        free = 1.1 + f64::from(chord.strokes.max(1)) * style.stroke_pitch + 0.2;
    }
    length.max(depth + free)
}

fn slope(
    style: &super::style::Style,
    chords: &[(f64, &mut ChordShape)],
    first_x: f64,
    last_x: f64,
    sign: f64,
) -> f64 {
    let heads: Vec<f64> = chords.iter().map(|(_, c)| chord::y_of(c.outer())).collect();
    let (Some(first), Some(last)) = (heads.first(), heads.last()) else { return 0.0 };
    let run = last_x - first_x;
    if run <= 0.0 || (last - first).abs() < 1e-9 {
        return 0.0;
    }
    let nearest_outer = if sign < 0.0 { first.min(*last) } else { first.max(*last) };
    let inner = heads.get(1..heads.len() - 1).unwrap_or(&[]);
    let concave = inner.iter().any(|y| (y - nearest_outer) * sign > -1e-9);
    if concave {
        return 0.0;
    }
    // A step asks for a quarter space, a third for a half, and so on up to the limit.
    let wanted =
        ((last - first).abs() * 0.5).min(style.beam_rise_max).min(run * style.beam_slope_max);
    wanted.copysign(last - first) / run
}

/// The lines of a placed beam.
pub fn marks(
    context: &Context<'_>,
    beam: &Beam,
    placed: &PlacedBeam,
    xs: &[f64],
    stems: Stems,
) -> Vec<Mark> {
    let defaults = context.fonts.music.defaults();
    let half = defaults.stem_thickness / 2.0;
    let pitch = defaults.beam_thickness + defaults.beam_spacing;
    let inwards = -stems.sign();
    let mut marks = Vec::new();
    for line in &beam.lines {
        let (Some(from), Some(to)) = (xs.get(line.from), xs.get(line.to)) else { continue };
        let (x0, x1) = match line.beamlet {
            None => (from - half, to + half),
            Some(side) => {
                let room = match side {
                    Side::Left => line.from.checked_sub(1).and_then(|i| xs.get(i)),
                    Side::Right => xs.get(line.from + 1),
                };
                let length = room.map_or(context.style.beamlet, |x| {
                    ((x - from).abs() * 0.6).min(context.style.beamlet)
                });
                match side {
                    Side::Left => (from - length, from + half),
                    Side::Right => (from - half, from + length),
                }
            }
        };
        let offset = inwards * line.level as f64 * pitch;
        let thick = inwards * defaults.beam_thickness;
        let (y0, y1) = (placed.y_at(x0) + offset, placed.y_at(x1) + offset);
        let path = curve::polygon(&[
            Point::new(x0, y0),
            Point::new(x1, y1),
            Point::new(x1, y1 + thick),
            Point::new(x0, y0 + thick),
        ]);
        marks.push(Mark::new(Kind::Beam, Shape::Path(path)));
    }
    marks
}
