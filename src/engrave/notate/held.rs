//! The note values of a held hit: the fewest tied notes that the metre allows (Gould, *Behind
//! Bars*, "Ties" and "Grouping of notes"; Read, *Music Notation*, "Ties"; both from memory).
//!
//! A note may fill whole beats of one half of the bar, or a part of one beat. It may cross a beat
//! where it starts or ends on one and lasts half as long again, or lies evenly over it. It never
//! crosses the middle of a bar, unless it begins where the divided part of the bar begins: a dotted
//! half or a whole note from the first beat of 4/4.

use super::value::Value;
use crate::score::meter::{Meter, MeterKind};
use crate::score::{SHORTEST, Time};

/// A beat of this lower number or a smaller one divides in two, and notes may lie over its edges.
const LONG_BEAT: u32 = 4;

/// The beats of a bar, as they bound notes.
pub struct Pulse {
    /// Starts of the beats or beam groups, and the end of the bar, from the start of the bar; a
    /// pickup begins before zero.
    edges: Vec<Time>,
    /// Parts of the bar that fall in two: start, middle, and whether a note from the start may
    /// cross the middle.
    parted: Vec<(Time, Time, bool)>,
    /// Notes may lie over the edge of a beat.
    syncopates: bool,
}

impl Pulse {
    /// The pulse of a bar that starts so far inside its meter.
    pub fn of(meter: &Meter, offset: Time) -> Self {
        let mut at = Time::ZERO - offset;
        let mut edges = vec![at];
        for group in groups(meter) {
            at += group;
            edges.push(at);
        }
        let even = edges.windows(3).all(|e| e[1] - e[0] == e[2] - e[1]);
        let mut parted = Vec::new();
        if even {
            part(&edges, &mut parted);
        }
        let syncopates = meter.kind == MeterKind::Simple && meter.lower <= LONG_BEAT;
        Self { edges, parted, syncopates }
    }

    /// Notes that fill a stretch of plain time, each with its start; fewer than fill it only where
    /// it is too fine to be written.
    pub fn notes(&self, from: Time, to: Time) -> Vec<(Time, Value)> {
        if let Some(value) = self.one_note(from, to) {
            return vec![(from, value)];
        }
        let points = self.points(from, to);
        // Notes needed from a point on, breaks off the beats among them, and the next point.
        let mut best: Vec<Option<(usize, usize, usize)>> = vec![None; points.len()];
        let last = points.len().saturating_sub(1);
        for index in (0..last).rev() {
            // The longest first note comes first, and wins among equals.
            for next in (index + 1..=last).rev() {
                let rest = if next == last { Some((0, 0, next)) } else { best[next] };
                let (Some((notes, off, _)), true) =
                    (rest, self.one_note(points[index], points[next]).is_some())
                else {
                    continue;
                };
                let off = off + usize::from(next < last && !self.is_edge(points[next]));
                let found = (notes + 1, off, next);
                if best[index].is_none_or(|known| (found.0, found.1) < (known.0, known.1)) {
                    best[index] = Some(found);
                }
            }
        }
        let mut notes = Vec::new();
        let mut index = 0;
        while let Some((_, _, next)) = best.get(index).copied().flatten() {
            let value = self.one_note(points[index], points[next]);
            notes.extend(value.map(|value| (points[index], value)));
            index = next;
        }
        notes
    }

    /// Where a stretch may be broken, with its ends: at beats, and on the grid of its ends inside
    /// the beats that it does not fill.
    fn points(&self, from: Time, to: Time) -> Vec<Time> {
        let mut points = vec![from, to];
        points.extend(self.edges.iter().copied().filter(|edge| *edge > from && *edge < to));
        let grid = from.denominator().max(to.denominator());
        if grid <= SHORTEST {
            for end in [from, to] {
                let (start, stop) = self.beat_around(end);
                let (start, stop) = (start.max(from), stop.min(to));
                let unit = Time::new(1, grid);
                let mut at = start;
                while at < stop {
                    points.push(at);
                    at += unit;
                }
            }
        }
        points.sort();
        points.dedup();
        points
    }

    /// The beat that holds a time in its inside; where it is an edge, nothing.
    fn beat_around(&self, at: Time) -> (Time, Time) {
        let next = self.edges.partition_point(|edge| *edge < at);
        match (next.checked_sub(1).and_then(|before| self.edges.get(before)), self.edges.get(next))
        {
            (Some(start), Some(end)) if *end > at => (*start, *end),
            _ => (at, at),
        }
    }

    fn is_edge(&self, at: Time) -> bool {
        self.edges.binary_search(&at).is_ok()
    }

    /// The value of a note that may stand from one time to another.
    fn one_note(&self, from: Time, to: Time) -> Option<Value> {
        let value = Value::exactly(to - from)?;
        let crosses = |middle: Time| from < middle && middle < to;
        let parted = self.parted.iter().all(|&(start, middle, whole)| {
            !crosses(middle) || (whole && from == start && self.is_edge(to))
        });
        (parted && self.keeps_the_beat(from, to, value)).then_some(value)
    }

    fn keeps_the_beat(&self, from: Time, to: Time, value: Value) -> bool {
        let first = self.edges.partition_point(|edge| *edge <= from).saturating_sub(1);
        let (Some(start), Some(end)) = (self.edges.get(first), self.edges.get(first + 1)) else {
            return false;
        };
        let beat = *end - *start;
        if to <= *end {
            return (from == *start && to == *end) || inside(from - *start, beat, value);
        }
        if self.is_edge(from) && self.is_edge(to) {
            return true;
        }
        let plain = Value { dots: 0, ..value }.time();
        let half = beat / 2;
        let over_two = to - *start <= beat * 2;
        let evenly = |at: Time| (at - *start).is_multiple_of(half);
        self.syncopates && over_two && plain == beat && evenly(from) && evenly(to)
    }
}

/// Whether a note at a time after the start of a beat shows how the beat divides: it begins on a
/// multiple of itself or lies evenly over one; a dotted one begins or ends where four of its thirds
/// do. A dotted beat divides in three first.
fn inside(at: Time, beat: Time, value: Value) -> bool {
    let plain = Value { dots: 0, ..value }.time();
    if value.dots == 0 {
        let third = beat / 3;
        if beat.numerator() == 3 && plain > third {
            return at.is_multiple_of(third);
        }
        return at.is_multiple_of(plain / 2);
    }
    let frame = plain * 2;
    let length = value.time();
    if beat.numerator() == 3 && length * 2 == beat {
        return at.is_multiple_of(length);
    }
    at.is_multiple_of(frame) || (at + length).is_multiple_of(frame)
}

/// What notes are grouped by: beats, or the beam groups of beats shorter than a quarter.
fn groups(meter: &Meter) -> Vec<Time> {
    match meter.kind {
        MeterKind::Simple => meter.beam_groups(),
        MeterKind::Compound | MeterKind::Additive | MeterKind::Unmetered => meter.beats(),
    }
}

/// Parts a bar of equal beats: four in two and two, five in three and two, seven in four and three,
/// more likewise; two and three are not parted (common practice, no source).
fn part(edges: &[Time], parted: &mut Vec<(Time, Time, bool)>) {
    let beats = edges.len().saturating_sub(1);
    if beats < 4 {
        return;
    }
    let middle = beats.div_ceil(2);
    parted.push((edges[0], edges[middle], beats.is_multiple_of(2)));
    part(&edges[..=middle], parted);
    part(&edges[middle..], parted);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meter(upper: &[u32], lower: u32, kind: MeterKind) -> Meter {
        Meter { upper: upper.to_vec(), lower, kind, sign: Default::default() }
    }

    /// The lengths of the tied notes from one time to another, in sixteenths.
    fn sixteenths(meter: Meter, from: i64, to: i64) -> Vec<i64> {
        let pulse = Pulse::of(&meter, Time::ZERO);
        let notes = pulse.notes(Time::new(from, 16), Time::new(to, 16));
        notes.iter().map(|(_, v)| v.time().ratio(Time::SIXTEENTH).to_integer()).collect()
    }

    #[test]
    fn in_four_four_the_middle_is_shown() {
        let of = |from, to| sixteenths(Meter::four_four(), from, to);
        assert_eq!(of(0, 6), [6], "a dotted quarter from the first beat");
        assert_eq!(of(2, 8), [6], "and one that ends at the middle");
        assert_eq!(of(2, 6), [4], "a quarter evenly over the second beat");
        assert_eq!(of(6, 10), [2, 2], "but not over the middle");
        assert_eq!(of(4, 12), [4, 4], "nor a half note over it");
        assert_eq!(of(0, 12), [12], "a dotted half from the first beat");
        assert_eq!(of(0, 16), [16]);
        assert_eq!(of(0, 10), [8, 2]);
        assert_eq!(of(2, 12), [6, 4]);
        assert_eq!(of(1, 4), [3], "a dotted eighth that ends its beat");
        assert_eq!(of(1, 3), [2], "an eighth evenly in its beat");
        assert_eq!(of(3, 5), [1, 1], "nothing short over a beat");
        assert_eq!(of(1, 8), [3, 4]);
        assert_eq!(of(0, 5), [4, 1]);
    }

    #[test]
    fn odd_times_show_how_they_part() {
        let five = || meter(&[5], 4, MeterKind::Simple);
        assert_eq!(sixteenths(five(), 0, 20), [12, 8], "a dotted half and a half");
        assert_eq!(sixteenths(five(), 0, 12), [12]);
        assert_eq!(sixteenths(five(), 4, 20), [8, 8]);
        let seven = || meter(&[7], 8, MeterKind::Simple);
        assert_eq!(sixteenths(seven(), 0, 14), [8, 6], "two and two, and three eighths");
        let additive = meter(&[3, 3, 2], 8, MeterKind::Additive);
        assert_eq!(sixteenths(additive, 2, 16), [4, 6, 4]);
        assert_eq!(sixteenths(meter(&[3], 4, MeterKind::Simple), 4, 10), [6]);
    }

    #[test]
    fn dotted_beats_join_to_dotted_notes() {
        let six = || meter(&[6], 8, MeterKind::Compound);
        assert_eq!(sixteenths(six(), 0, 12), [12]);
        assert_eq!(sixteenths(six(), 2, 12), [4, 6]);
        assert_eq!(sixteenths(six(), 0, 10), [6, 4]);
        assert_eq!(sixteenths(six(), 0, 3), [3], "half a dotted beat");
        let twelve = || meter(&[12], 8, MeterKind::Compound);
        assert_eq!(sixteenths(twelve(), 0, 24), [24]);
        assert_eq!(sixteenths(twelve(), 6, 18), [6, 6], "the middle of 12/8");
    }

    #[test]
    fn whatever_the_length_it_is_filled() {
        for meter in [
            Meter::four_four(),
            meter(&[5], 4, MeterKind::Simple),
            meter(&[7], 8, MeterKind::Simple),
            meter(&[9], 8, MeterKind::Compound),
            meter(&[2, 2, 3], 8, MeterKind::Additive),
            meter(&[3], 2, MeterKind::Simple),
        ] {
            let length = meter.length();
            let pulse = Pulse::of(&meter, Time::ZERO);
            let steps = length.ratio(Time::new(1, 32)).to_integer();
            for from in 0..steps {
                for to in from + 1..=steps {
                    let (from, to) = (Time::new(from, 32), Time::new(to, 32));
                    let notes = pulse.notes(from, to);
                    let mut at = from;
                    for (start, value) in notes {
                        assert_eq!(start, at);
                        at += value.time();
                    }
                    assert_eq!(at, to, "{from} to {to} in a bar of {length}");
                }
            }
        }
    }
}
