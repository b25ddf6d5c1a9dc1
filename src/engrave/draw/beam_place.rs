//! Where a beam lies: its slant, its height, and the stems that reach it.
//!
//! A beam's slant follows its outer notes within limits, and is flat where an inner note stands
//! nearer the beam than both of them, or the outer notes are the same (Ross, *The Art of Music
//! Engraving and Processing*, "Beams", from memory). Among the places a beam could have, the one
//! of least badness is taken.

use crate::engrave::engraver::Engraver;
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::measure::{grace, stem};
use crate::engrave::notate::beams::Beam;
use crate::engrave::staff::{Stems, staff_edges, y_of};
use crate::score::settings::Staff;

/// Least space between a beam and a rest or grace note under it (no source).
const UNDER_BEAM_GAP: f64 = 0.3;
/// What the bracket of a ghost note takes from the free stem (no source).
const GHOST_ROOM: f64 = 0.4;
/// Free stem besides that of each stroke through it (no source).
const STROKE_ROOM: f64 = 1.3;
/// Rises and heights of beams are whole quarters of a space (Ross, from memory: so that their edges
/// stand well to the staff lines).
const QUARTER: f64 = 0.25;
/// Heights tried beyond the nearest possible, a quarter space apart.
const QUARTERS_TRIED: u32 = 5;
/// How much of the distance of its outer notes a beam rises (no source).
const RISE_SHARE: f64 = 0.5;
/// Weight of a rise that is not the wanted one, for each space (no source).
const RISE_WEIGHT: f64 = 2.0;
/// Weight of a beam edge that hides a staff line badly (no source).
const LINE_WEIGHT: f64 = 0.6;
/// How much worse a stem that is too short is than one that is too long (no source).
const SHORT_WEIGHT: f64 = 3.0;
/// A difference of heights that counts as none.
const NOTHING: f64 = 1e-9;

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

/// What a beam has to reach and to keep clear of.
struct BeamRoom {
    stems: Vec<StemNeed>,
    /// x and y that its outer edge has to pass.
    obstacles: Vec<(f64, f64)>,
    /// The middles of its first and its last stem.
    ends: (f64, f64),
    /// How far its lines reach inwards.
    depth: f64,
    /// The direction of its stems in y.
    sign: f64,
    /// y of the outer lines of the staff.
    staff: (f64, f64),
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
    let half = engraver.fonts.music.defaults().stem_thickness / 2.0;
    let xs: Vec<f64> = chords.iter().map(|(x, c)| x + c.stem_x + half).collect();
    let placed = room(engraver, beam, chords, under, &xs, staff).best(engraver);
    for ((_, chord), x) in chords.iter_mut().zip(&xs) {
        chord.stem_tip = placed.y_at(*x);
    }
    placed
}

fn room(
    engraver: &Engraver<'_>,
    beam: &Beam,
    chords: &[(f64, &mut ChordShape)],
    under: &[(f64, f64)],
    xs: &[f64],
    staff: Staff,
) -> BeamRoom {
    let defaults = engraver.fonts.music.defaults();
    let direction = chords.first().map_or(Stems::Up, |(_, c)| c.stems);
    let sign = direction.sign();
    let lines = beam.lines.iter().map(|l| l.level + 1).max().unwrap_or(1);
    let pitch = defaults.beam_thickness + defaults.beam_spacing;
    let depth = (lines - 1) as f64 * pitch + defaults.beam_thickness;
    let stems = chords.iter().zip(xs);
    let stems = stems.map(|((_, chord), x)| need(engraver, chord, staff, depth, *x)).collect();
    let grace = chords.iter().skip(1).flat_map(|(x, chord)| grace::under_beam(engraver, chord, *x));
    let obstacles = grace
        .filter(|_| direction == Stems::Up)
        .chain(under.iter().copied())
        .map(|(x, edge)| (x, edge + sign * (depth + UNDER_BEAM_GAP)))
        .collect();
    let ends = (xs.first().copied().unwrap_or(0.0), xs.last().copied().unwrap_or(0.0));
    BeamRoom { stems, obstacles, ends, depth, sign, staff: staff_edges(staff) }
}

fn need(engraver: &Engraver<'_>, chord: &ChordShape, staff: Staff, depth: f64, x: f64) -> StemNeed {
    let style = engraver.style;
    let mut least = depth + style.stem_under_beam;
    if let Some((_, strokes)) = chord.stem_mark() {
        let bracket = if chord.has_ghost_at_stem() { GHOST_ROOM } else { 0.0 };
        let strokes = f64::from(strokes);
        least = depth + STROKE_ROOM + bracket + strokes * style.stroke_pitch;
    }
    let least = least.max(style.stem_min);
    let ideal = stem::shortened(engraver, chord, staff).max(least);
    StemNeed { x, head: y_of(chord.outer()), ideal, least }
}

/// Rises to choose from: quarter spaces between level and the wanted one.
fn candidates(wanted: f64) -> impl Iterator<Item = f64> {
    let quarters = (wanted.abs() / QUARTER).round() as i32;
    (0..=quarters).map(move |quarter| (f64::from(quarter) * QUARTER).copysign(wanted))
}

/// The next quarter space away from the heads.
fn snap(y: f64, sign: f64) -> f64 {
    (y * sign / QUARTER - NOTHING).ceil() * QUARTER * sign
}

impl BeamRoom {
    /// The place of least badness.
    fn best(&self, engraver: &Engraver<'_>) -> PlacedBeam {
        let (x, end) = self.ends;
        let wanted = self.wanted_rise(engraver);
        let places = candidates(wanted).flat_map(|rise| {
            let slope = if end > x { rise / (end - x) } else { 0.0 };
            let nearest = snap(self.reach(slope), self.sign);
            (0..QUARTERS_TRIED).map(move |quarter| {
                let y = nearest + self.sign * QUARTER * f64::from(quarter);
                let placed = PlacedBeam { x, y, slope, end, depth: self.depth };
                (self.badness(&placed, rise - wanted), placed)
            })
        });
        let best = places.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, placed)| placed);
        best.unwrap_or(PlacedBeam { x, y: 0.0, slope: 0.0, end, depth: self.depth })
    }

    /// The rise that follows the outer notes: half their distance, within limits; none where they
    /// are the same or an inner note stands as near the beam as they do.
    fn wanted_rise(&self, engraver: &Engraver<'_>) -> f64 {
        let (style, sign, run) = (engraver.style, self.sign, self.ends.1 - self.ends.0);
        let [first, inner @ .., last] = self.stems.as_slice() else { return 0.0 };
        let distance = last.head - first.head;
        if run <= 0.0 || distance.abs() < NOTHING {
            return 0.0;
        }
        let nearest =
            if sign < 0.0 { first.head.min(last.head) } else { first.head.max(last.head) };
        if inner.iter().any(|n| (n.head - nearest) * sign > -NOTHING) {
            return 0.0;
        }
        let share = distance.abs() * RISE_SHARE;
        let wanted = share.min(style.beam_rise_max).min(run * style.beam_slope_max);
        ((wanted / QUARTER).round() * QUARTER).copysign(distance)
    }

    /// The y of the first stem's end nearest the heads at which every stem has its least length and
    /// the beam lies beyond every obstacle.
    fn reach(&self, slope: f64) -> f64 {
        let (sign, first_x) = (self.sign, self.ends.0);
        let stems = self.stems.iter();
        let stems = stems.map(|n| sign * (n.head - (n.x - first_x) * slope) + n.least);
        let others = self.obstacles.iter().map(|(x, y)| sign * (y - (x - first_x) * slope));
        let edge = stems.chain(others).fold(f64::NEG_INFINITY, f64::max);
        if edge.is_finite() { sign * edge } else { 0.0 }
    }

    /// What is bad about a place: stems longer or shorter than they like, a rise other than the one
    /// wanted, and ends that neither sit on, straddle nor hang from a staff line (Ross, from
    /// memory).
    fn badness(&self, placed: &PlacedBeam, rise_off: f64) -> f64 {
        let stem = |n: &StemNeed| {
            let off = self.sign * (placed.y_at(n.x) - n.head) - n.ideal;
            off * off * if off < 0.0 { SHORT_WEIGHT } else { 1.0 }
        };
        let stems: f64 = self.stems.iter().map(stem).sum();
        stems / self.stems.len().max(1) as f64
            + rise_off.abs() * RISE_WEIGHT
            + (self.off_line(placed.y) + self.off_line(placed.y_at(placed.end))) * LINE_WEIGHT
    }

    /// How far the edge of a beam is from sitting on, straddling or hanging from a staff line.
    fn off_line(&self, y: f64) -> f64 {
        if y <= self.staff.0 - 0.5 || y >= self.staff.1 + 0.5 {
            return 0.0;
        }
        // The outer edge of a half-space beam measured along the stem from the line behind it.
        let into = (y * self.sign).rem_euclid(1.0);
        [0.0, 0.25, 0.5, 1.0].iter().map(|good| (into - good).abs()).fold(1.0, f64::min) * 4.0
    }
}
