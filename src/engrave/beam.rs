//! Where beams lie: slant, height, and the stems that reach them.
//!
//! A beam's slant follows its outer notes within limits, and is flat where an inner note stands
//! nearer the beam than both of them, or the outer notes are the same (Ross, *The Art of Music
//! Engraving and Processing*, "Beams", from memory). Among the places a beam could have, the one
//! of least [`badness`] is taken.

use super::beaming::{Beam, Side};
use super::chord;
use super::chord::{ChordShape, Stems};
use super::engraver::Engraver;
use super::{curve, grace};
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
/// column, `under` the x and the nearer edge of each rest the beam passes over.
pub fn place(
    engraver: &Engraver<'_>,
    beam: &Beam,
    chords: &mut [(f64, &mut ChordShape)],
    under: &[(f64, f64)],
    staff: Staff,
) -> PlacedBeam {
    let defaults = engraver.fonts.music.defaults();
    let style = engraver.style;
    let middle = |x: f64, c: &ChordShape| x + c.stem_x + defaults.stem_thickness / 2.0;
    let stems = chords.first().map_or(Stems::Up, |(_, c)| c.stems);
    let sign = stems.sign();
    let lines = beam.lines.iter().map(|l| l.level + 1).max().unwrap_or(1);
    let pitch = defaults.beam_thickness + defaults.beam_spacing;
    let depth = (lines - 1) as f64 * pitch + defaults.beam_thickness;

    let xs: Vec<f64> = chords.iter().map(|(x, c)| middle(*x, c)).collect();
    let stem_needs: Vec<StemNeed> = chords
        .iter()
        .zip(&xs)
        .map(|((_, chord), x)| need(engraver, chord, staff, depth, *x))
        .collect();
    let grace = chords.iter().skip(1).flat_map(|(x, chord)| grace::under_beam(engraver, chord, *x));
    let grace = grace.filter(|_| stems == Stems::Up);
    let obstacles: Vec<(f64, f64)> = grace
        .chain(under.iter().copied())
        .map(|(x, edge)| (x, edge + sign * (depth + UNDER_BEAM_GAP)))
        .collect();
    let (first_x, last_x) = (xs.first().copied().unwrap_or(0.0), xs.last().copied().unwrap_or(0.0));
    let edges = super::system::staff_edges(staff);
    let wanted = wanted_rise(style, &stem_needs, last_x - first_x, sign);
    let best = candidates(wanted)
        .flat_map(|rise| {
            let slope = if last_x > first_x { rise / (last_x - first_x) } else { 0.0 };
            let nearest = reach(&stem_needs, &obstacles, first_x, slope, sign);
            (0..QUARTERS_TRIED).map(move |quarter| (rise, slope, nearest, quarter))
        })
        .map(|(rise, slope, nearest, quarter)| {
            let y = snap(nearest, sign) + sign * 0.25 * f64::from(quarter);
            let placed = PlacedBeam { x: first_x, y, slope, end: last_x, depth };
            (badness(&placed, &stem_needs, rise - wanted, sign, edges), placed)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let placed = match best {
        Some((_, placed)) => placed,
        None => PlacedBeam { x: first_x, y: 0.0, slope: 0.0, end: last_x, depth },
    };
    for ((_, chord), x) in chords.iter_mut().zip(&xs) {
        chord.stem_tip = placed.y_at(*x);
    }
    placed
}

/// What a stem under a beam asks for.
struct StemNeed {
    /// x of its middle.
    x: f64,
    /// y of its outermost head.
    head: f64,
    /// The length it likes.
    ideal: f64,
    /// The length it cannot do without.
    least: f64,
}

/// Least space between a beam and a rest or grace note under it.
const UNDER_BEAM_GAP: f64 = 0.3;
/// What the bracket of a ghost note takes from the free stem.
const GHOST_ROOM: f64 = 0.4;
/// Heights tried beyond the nearest possible, a quarter space apart.
const QUARTERS_TRIED: u32 = 5;
/// Weight of a rise that is not the wanted one, for each space.
const RISE_WEIGHT: f64 = 2.0;
/// Weight of a beam edge that hides a staff line badly.
const LINE_WEIGHT: f64 = 0.6;
/// How much worse a stem that is too short is than one that is too long.
const SHORT_WEIGHT: f64 = 3.0;

fn need(engraver: &Engraver<'_>, chord: &ChordShape, staff: Staff, depth: f64, x: f64) -> StemNeed {
    let style = engraver.style;
    let beyond = match chord.stems {
        Stems::Up => chord.outer() - chord::outer_line(staff),
        Stems::Down => -chord.outer() - chord::outer_line(staff),
    };
    let shortened = style.stem - style.stem_shortening * f64::from(beyond.max(0));
    let mut least = depth + style.stem_under_beam;
    if chord.strokes > 0 || chord.buzz {
        let bracket = if chord.has_ghost_at_stem() { GHOST_ROOM } else { 0.0 };
        least = depth + 1.3 + bracket + f64::from(chord.strokes.max(1)) * style.stroke_pitch;
    }
    let least = least.max(style.stem_min);
    StemNeed { x, head: chord::y_of(chord.outer()), ideal: shortened.max(least), least }
}

/// Rises to choose from: quarter spaces between level and the wanted one.
fn candidates(wanted: f64) -> impl Iterator<Item = f64> {
    let quarters = (wanted.abs() / 0.25).round() as i32;
    (0..=quarters).map(move |quarter| (f64::from(quarter) * 0.25).copysign(wanted))
}

/// The y of the first stem's end nearest the heads at which every stem has its least length and
/// the beam lies beyond every obstacle, given as the x and y its outer edge has to pass.
fn reach(needs: &[StemNeed], obstacles: &[(f64, f64)], first_x: f64, slope: f64, sign: f64) -> f64 {
    let stems = needs.iter().map(|n| sign * (n.head - (n.x - first_x) * slope) + n.least);
    let others = obstacles.iter().map(|(x, y)| sign * (y - (x - first_x) * slope));
    let edge = stems.chain(others).fold(f64::NEG_INFINITY, f64::max);
    if edge.is_finite() { sign * edge } else { 0.0 }
}

/// The next quarter space away from the heads.
fn snap(y: f64, sign: f64) -> f64 {
    (y * sign * 4.0 - 1e-9).ceil() / 4.0 * sign
}

/// What is bad about a place: stems longer or shorter than they like, a rise other than the one
/// wanted, and ends that neither sit on, straddle nor hang from a staff line (Ross, from memory).
fn badness(
    placed: &PlacedBeam,
    needs: &[StemNeed],
    rise_off: f64,
    sign: f64,
    staff: (f64, f64),
) -> f64 {
    let stems: f64 = needs
        .iter()
        .map(|n| {
            let off = sign * (placed.y_at(n.x) - n.head) - n.ideal;
            off * off * if off < 0.0 { SHORT_WEIGHT } else { 1.0 }
        })
        .sum();
    let line = |y: f64| {
        if y <= staff.0 - 0.5 || y >= staff.1 + 0.5 {
            return 0.0;
        }
        // The outer edge of a half-space beam measured along the stem from the line behind it.
        let into = (y * sign).rem_euclid(1.0);
        [0.0, 0.25, 0.5, 1.0].iter().map(|good| (into - good).abs()).fold(1.0, f64::min) * 4.0
    };
    stems / needs.len().max(1) as f64
        + rise_off.abs() * RISE_WEIGHT
        + (line(placed.y) + line(placed.y_at(placed.end))) * LINE_WEIGHT
}

/// The rise that follows the outer notes: half their distance, within limits; none where they are
/// the same or an inner note stands as near the beam as they do.
fn wanted_rise(style: &super::style::Style, needs: &[StemNeed], run: f64, sign: f64) -> f64 {
    let (Some(first), Some(last)) = (needs.first(), needs.last()) else { return 0.0 };
    let distance = last.head - first.head;
    if run <= 0.0 || distance.abs() < 1e-9 {
        return 0.0;
    }
    let nearest = if sign < 0.0 { first.head.min(last.head) } else { first.head.max(last.head) };
    let inner = needs.get(1..needs.len() - 1).unwrap_or(&[]);
    if inner.iter().any(|n| (n.head - nearest) * sign > -1e-9) {
        return 0.0;
    }
    let wanted = (distance.abs() * 0.5).min(style.beam_rise_max).min(run * style.beam_slope_max);
    ((wanted * 4.0).round() / 4.0).copysign(distance)
}

/// The lines of a placed beam.
pub fn marks(
    engraver: &Engraver<'_>,
    beam: &Beam,
    placed: &PlacedBeam,
    xs: &[f64],
    stems: Stems,
) -> Vec<Mark> {
    let defaults = engraver.fonts.music.defaults();
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
                let length = room.map_or(engraver.style.beamlet, |x| {
                    ((x - from).abs() * 0.6).min(engraver.style.beamlet)
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
