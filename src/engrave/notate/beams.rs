//! Which notes share a beam, and where the secondary beams run.
//!
//! Beams follow the beat (Gould, *Behind Bars*, "Beaming", from memory): a beam never leaves its
//! span, may pass over inner rests, and begins and ends on a note. Where thirty-seconds are
//! present, beams from the second on break at each eighth. A note that has more beams than its
//! neighbours gets a beamlet that points into its beat.

use super::event::{EventKind, Tuplet, WrittenEvent};
use crate::score::{Bar, Time};
use smallvec::SmallVec;

/// Flags of a thirty-second.
const THIRTY_SECOND: usize = 3;

/// A stretch that beams may not leave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BeamSpan {
    /// Its start in the bar.
    pub start: Time,
    /// Its end.
    pub end: Time,
    /// Where its beams from the second on break, counted from its start: at the quarters of a longer group
    /// that was asked for (Gould, *Behind Bars*, "Beaming", from memory).
    pub parted: Option<Time>,
}

/// Notes under one beam.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beam {
    /// Indices of its chords among the events of the voice, at least two.
    pub chords: Vec<usize>,
    /// Its lines, primary first.
    pub lines: Vec<BeamLine>,
}

/// One straight line of a beam.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BeamLine {
    /// 0 for the primary beam, 1 for the second.
    pub level: usize,
    /// First chord, as an index into [`Beam::chords`].
    pub from: usize,
    /// Last chord; the same as `from` for a beamlet.
    pub to: usize,
    /// Where a beamlet points.
    pub beamlet: Option<Side>,
}

/// A side of a stem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// The beams of one voice of a bar. `spans` are the stretches beams may not leave.
pub fn beams(events: &[WrittenEvent], spans: &[BeamSpan]) -> Vec<Beam> {
    let mut beams = Vec::new();
    for span in spans {
        let BeamSpan { start, end, .. } = *span;
        let mut run: Vec<usize> = Vec::new();
        let mut flush = |run: &mut Vec<usize>| {
            if run.len() > 1 {
                beams.push(Beam { lines: lines(events, run, span), chords: std::mem::take(run) });
            }
            run.clear();
        };
        let first = events.partition_point(|e| e.at < start);
        for (index, event) in events.iter().enumerate().skip(first) {
            if event.at >= end {
                break;
            }
            match event.kind {
                EventKind::Chord { .. } if event.value.flags() > 0 => run.push(index),
                EventKind::Rest if event.value.flags() > 0 => {}
                EventKind::Chord { .. } | EventKind::Rest | EventKind::BarRest => flush(&mut run),
            }
        }
        flush(&mut run);
    }
    beams
}

fn lines(events: &[WrittenEvent], chords: &[usize], span: &BeamSpan) -> Vec<BeamLine> {
    let origin = span.start;
    let flags: SmallVec<[usize; 16]> =
        chords.iter().map(|i| events.get(*i).map_or(0, |e| e.value.flags())).collect();
    let deepest = flags.iter().copied().max().unwrap_or(0);
    let breaks: SmallVec<[bool; 16]> =
        chords.windows(2).map(|pair| secondary_break(events, pair, span, deepest)).collect();
    let mut lines = Vec::new();
    for level in 0..deepest {
        let mut from = 0;
        while from < chords.len() {
            if flags[from] <= level {
                from += 1;
                continue;
            }
            let mut to = from;
            while to + 1 < chords.len() && flags[to + 1] > level && (level == 0 || !breaks[to]) {
                to += 1;
            }
            let beamlet = (from == to).then(|| beamlet_side(events, chords, from, origin));
            lines.push(BeamLine { level, from, to, beamlet });
            from = to + 1;
        }
    }
    lines
}

/// Whether beams from the second on break between two chords.
fn secondary_break(
    events: &[WrittenEvent],
    pair: &[usize],
    span: &BeamSpan,
    deepest: usize,
) -> bool {
    let [Some(left), Some(right)] = [events.get(pair[0]), events.get(pair[1])] else {
        return false;
    };
    let rest_between = pair[1] > pair[0] + 1;
    if rest_between {
        return true;
    }
    let into = right.at - span.start;
    if span.parted.is_some_and(|part| into.is_multiple_of(part)) {
        return true;
    }
    let on_eighth = into.is_multiple_of(Time::new(1, 8));
    deepest >= THIRTY_SECOND
        && on_eighth
        && (left.value.flags() >= THIRTY_SECOND || right.value.flags() >= THIRTY_SECOND)
}

/// A beamlet points to the note that completes its half of the beat.
fn beamlet_side(events: &[WrittenEvent], chords: &[usize], at: usize, origin: Time) -> Side {
    if at == 0 {
        return Side::Right;
    }
    if at + 1 == chords.len() {
        return Side::Left;
    }
    match chords.get(at).and_then(|i| events.get(*i)) {
        Some(event) => {
            let pair = event.length * 2;
            if (event.at - origin).is_multiple_of(pair) { Side::Right } else { Side::Left }
        }
        None => Side::Left,
    }
}

/// The spans that beams of a bar may not leave: its beam groups, joined where a tuplet covers several.
pub fn spans(bar: &Bar, tuplets: &[Tuplet]) -> Vec<BeamSpan> {
    let mut spans: Vec<BeamSpan> = Vec::new();
    let mut at = Time::ZERO;
    for group in bar.beam_groups() {
        let start = at.max(bar.offset);
        at += group;
        if at > bar.offset {
            let longer = group > Time::QUARTER && group.is_multiple_of(Time::QUARTER);
            spans.push(BeamSpan {
                start: start - bar.offset,
                end: (at - bar.offset).min(bar.length),
                parted: (bar.beams.is_some() && longer).then_some(Time::QUARTER),
            });
        }
    }
    spans.retain(|span| span.start < span.end);
    for tuplet in tuplets.iter().filter(|t| t.level == 0) {
        let covered = |span: &BeamSpan| span.start < tuplet.end && span.end > tuplet.start;
        let Some(first) = spans.iter().position(covered) else { continue };
        let Some(last) = spans.iter().rposition(covered) else { continue };
        if last > first {
            spans[first] = BeamSpan { end: spans[last].end, parted: None, ..spans[first] };
            spans.drain(first + 1..=last);
        }
    }
    spans
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engrave::notate::value::Value;

    fn chord(at: Time, length: Time) -> WrittenEvent {
        let kind = EventKind::Chord { hit: 0, continued: false, tied: false };
        WrittenEvent { at, length, value: Value::exactly(length).unwrap(), kind }
    }

    fn span(start: Time, end: Time) -> BeamSpan {
        BeamSpan { start, end, parted: None }
    }

    fn sixteenths(pattern: &[i64]) -> Vec<WrittenEvent> {
        let mut at = Time::ZERO;
        let mut events = Vec::new();
        for count in pattern {
            let length = Time::new(*count, 16);
            events.push(chord(at, length));
            at += length;
        }
        events
    }

    #[test]
    fn dotted_eighth_and_sixteenth_share_a_beam_and_the_beamlet_points_back() {
        let beams = beams(&sixteenths(&[3, 1]), &[span(Time::ZERO, Time::QUARTER)]);
        assert_eq!(beams.len(), 1);
        let beamlet = beams[0].lines.iter().find(|l| l.level == 1).unwrap();
        assert_eq!((beamlet.from, beamlet.beamlet), (1, Some(Side::Left)));
    }

    #[test]
    fn sixteenth_eighth_sixteenth_has_beamlets_at_both_ends() {
        let beams = beams(&sixteenths(&[1, 2, 1]), &[span(Time::ZERO, Time::QUARTER)]);
        let sides: Vec<_> = beams[0].lines.iter().filter_map(|l| l.beamlet).collect();
        assert_eq!(sides, [Side::Right, Side::Left]);
    }

    #[test]
    fn no_beam_leaves_its_beat() {
        let events = sixteenths(&[2, 2, 2, 2]);
        let spans = [span(Time::ZERO, Time::QUARTER), span(Time::QUARTER, Time::new(1, 2))];
        let beams = beams(&events, &spans);
        assert_eq!(beams.iter().map(|b| b.chords.clone()).collect::<Vec<_>>(), [[0, 1], [2, 3]]);
    }

    #[test]
    fn a_longer_group_shows_its_quarters() {
        let half = BeamSpan { parted: Some(Time::QUARTER), ..span(Time::ZERO, Time::new(1, 2)) };
        let beams = beams(&sixteenths(&[1; 8]), &[half]);
        let levels: Vec<_> = beams[0].lines.iter().map(|l| (l.level, l.from, l.to)).collect();
        assert_eq!(levels, [(0, 0, 7), (1, 0, 3), (1, 4, 7)]);
    }

    #[test]
    fn thirty_seconds_break_the_second_beam_at_the_eighth() {
        let mut events = Vec::new();
        for i in 0..8 {
            events.push(chord(Time::new(i, 32), Time::new(1, 32)));
        }
        let beams = beams(&events, &[span(Time::ZERO, Time::QUARTER)]);
        let second: Vec<_> =
            beams[0].lines.iter().filter(|l| l.level == 1).map(|l| (l.from, l.to)).collect();
        assert_eq!(second, [(0, 3), (4, 7)]);
    }
}
