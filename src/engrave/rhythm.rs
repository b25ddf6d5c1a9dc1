//! Hits to written notes and rests.
//!
//! A hit lasts up to the next hit or to the end of its beat where one plain or dotted note can say
//! so; else a rest follows. A hit whose end is pinned keeps it, with ties where no single note can
//! say so. Rests are split so that each begins on a multiple of itself (Gould, *Behind Bars*,
//! "Grouping of rests", from memory).

use super::value::Value;
use crate::score::meter::MeterKind;
use crate::score::{Bar, Meter, Time};
use crate::score::{Division, Hit, Voice};
use num_rational::Ratio;

/// A written note or rest.
#[derive(Clone, Debug, PartialEq)]
pub struct WrittenEvent {
    /// When it begins, in the bar.
    pub at: Time,
    /// How long it really lasts.
    pub length: Time,
    /// Its written value.
    pub value: Value,
    /// What it is.
    pub kind: EventKind,
}

/// What an event is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventKind {
    /// A note or chord.
    Chord {
        /// The hit's index in its voice.
        hit: usize,
        /// Not struck: tied from the event before.
        continued: bool,
        /// Tied to the next event.
        tied: bool,
    },
    /// A rest.
    Rest,
    /// A rest for the whole bar.
    BarRest,
}

/// Notes that share a stretch of time in a number of parts it has no plain value for.
#[derive(Clone, Debug, PartialEq)]
pub struct Tuplet {
    /// Its start.
    pub start: Time,
    /// Its end.
    pub end: Time,
    /// Written notes.
    pub number: u32,
    /// Plain notes they stand for.
    pub normal: u32,
    /// 0 for an outer one, 1 for one inside it.
    pub level: usize,
}

/// A voice of a bar, written.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WrittenRhythm {
    /// Notes and rests in order.
    pub events: Vec<WrittenEvent>,
    /// Tuplets, outer before inner.
    pub tuplets: Vec<Tuplet>,
}

/// A stretch that is written at one scale, without tuplets of its own inside.
struct ScaledStretch {
    start: Time,
    end: Time,
    /// Written time for each unit of real time.
    scale: Ratio<i64>,
    /// Rests may be dotted here (a dotted beat).
    dotted_rests: bool,
}

/// Writes one voice of a bar. `other` is the bar's other voice: a beat in which this voice is
/// silent and the other sounds needs no rest. Nor does a beat in which both are silent in the voice
/// that `yields`, since the other shows it.
pub fn write(bar: &Bar, voice: &Voice, other: &Voice, yields: bool) -> WrittenRhythm {
    let mut rhythm = WrittenRhythm::default();
    if voice.hits.is_empty() {
        if other.hits.is_empty() {
            rhythm.events.push(WrittenEvent {
                at: Time::ZERO,
                length: bar.length,
                value: Value { halvings: 0, dots: 0 },
                kind: EventKind::BarRest,
            });
        }
        return rhythm;
    }
    let sounds = Sounds::new(&voice.hits, bar.length);
    let frames = frames(bar, voice);
    let mut silent_until = Time::ZERO;
    for (index, frame) in frames.iter().enumerate() {
        if frame.start < silent_until {
            continue;
        }
        if sounds.silent(frame.start, frame.end) {
            if yields || Sounds::struck_in(&other.hits, frame.start, frame.end) {
                continue;
            }
            let end = joined_silence(bar, &frames[index..], &sounds, other);
            push_rests(
                &mut rhythm.events,
                frame.start,
                end,
                frame.start,
                Ratio::from_integer(1),
                frame.dotted,
            );
            silent_until = end;
            continue;
        }
        let mut stretches = Vec::new();
        divide(frame, &mut stretches, &mut rhythm.tuplets);
        for stretch in &stretches {
            write_stretch(stretch, frame.start, &sounds, &mut rhythm.events);
        }
    }
    rhythm
}

/// A beat, or several beats that one division or one long note covers, with its divisions.
struct Frame<'a> {
    start: Time,
    end: Time,
    divisions: Vec<&'a Division>,
    dotted: bool,
}

/// Beats and divisions of a bar in order, without gaps.
fn frames<'a>(bar: &Bar, voice: &'a Voice) -> Vec<Frame<'a>> {
    let mut edges = vec![Time::ZERO];
    let mut at = Time::ZERO;
    for beat in bar.meter.beats() {
        at += beat;
        if at > bar.offset && at - bar.offset < bar.length {
            edges.push(at - bar.offset);
        }
    }
    edges.push(bar.length);
    let dotted = bar.meter.kind == MeterKind::Compound;
    let mut frames: Vec<Frame<'a>> = Vec::new();
    for pair in edges.windows(2) {
        let [start, end] = [pair[0], pair[1]];
        if let Some(last) = frames.last_mut().filter(|last| last.end > start) {
            last.end = last.end.max(end);
            continue;
        }
        frames.push(Frame { start, end, divisions: Vec::new(), dotted });
        gather(&mut frames, &voice.divisions);
    }
    for hit in &voice.hits {
        join_for_long_note(&mut frames, hit);
    }
    frames
}

/// Gives the last frame the divisions that touch it, and makes it as long as they are.
fn gather<'a>(frames: &mut [Frame<'a>], divisions: &'a [Division]) {
    let Some(frame) = frames.last_mut() else { return };
    for division in divisions {
        if division.start < frame.end && division.start + division.length > frame.start {
            frame.end = frame.end.max(division.start + division.length);
            frame.divisions.push(division);
        }
    }
}

/// Beats that a single long note fills are one frame, so that it is written as one note.
fn join_for_long_note(frames: &mut Vec<Frame<'_>>, hit: &Hit) {
    let Some(until) = hit.until else { return };
    let Some(first) = frames.iter().position(|f| f.start == hit.at) else { return };
    let Some(last) = frames.iter().position(|f| f.end == until) else { return };
    let plain = frames.get(first..=last).is_some_and(|f| f.iter().all(|f| f.divisions.is_empty()));
    if last > first && plain && Value::exactly(until - hit.at).is_some() {
        frames[first].end = until;
        frames.drain(first + 1..=last);
    }
}

/// How far a silence that begins with a frame goes on in one rest: two beats in the halves of a
/// bar of four.
fn joined_silence(bar: &Bar, frames: &[Frame<'_>], sounds: &Sounds<'_>, other: &Voice) -> Time {
    let Some(first) = frames.first() else { return Time::ZERO };
    let Some(second) = frames.get(1) else { return first.end };
    let beat = first.end - first.start;
    let in_fours =
        bar.meter.kind == MeterKind::Simple && bar.meter.upper.iter().sum::<u32>() % 4 == 0;
    let on_strong = (first.start + bar.offset).is_multiple_of(beat * 2);
    let silent = sounds.silent(second.start, second.end)
        && !Sounds::struck_in(&other.hits, second.start, second.end);
    if in_fours && on_strong && silent && second.end - second.start == beat {
        second.end
    } else {
        first.end
    }
}

/// Splits a frame into stretches of one scale and notes its tuplets.
fn divide(frame: &Frame<'_>, stretches: &mut Vec<ScaledStretch>, tuplets: &mut Vec<Tuplet>) {
    let scale = Ratio::from_integer(1);
    let plain = |start, end| ScaledStretch { start, end, scale, dotted_rests: frame.dotted };
    let mut at = frame.start;
    for division in &frame.divisions {
        if division.start > at {
            stretches.push(plain(at, division.start));
        }
        divide_division(division, scale, 0, stretches, tuplets);
        at = division.start + division.length;
    }
    if at < frame.end {
        stretches.push(plain(at, frame.end));
    }
}

/// The stretches of a division written at `scale` outside it. The score bounds how deep divisions
/// nest.
fn divide_division(
    division: &Division,
    scale: Ratio<i64>,
    level: usize,
    stretches: &mut Vec<ScaledStretch>,
    tuplets: &mut Vec<Tuplet>,
) {
    let written = division.length * scale;
    let normal = normal_count(written, division.parts);
    let end = division.start + division.length;
    let mut inner_scale = scale;
    let mut inner_level = level;
    if normal != division.parts {
        tuplets.push(Tuplet { start: division.start, end, number: division.parts, normal, level });
        inner_scale = scale * Ratio::new(i64::from(division.parts), i64::from(normal));
        inner_level += 1;
    }
    let mut at = division.start;
    let plain = |start, end| ScaledStretch { start, end, scale: inner_scale, dotted_rests: false };
    for inner in &division.inner {
        if inner.start > at {
            stretches.push(plain(at, inner.start));
        }
        divide_division(inner, inner_scale, inner_level, stretches, tuplets);
        at = inner.start + inner.length;
    }
    if at < end {
        stretches.push(plain(at, end));
    }
}

/// How many plain notes `parts` notes stand for in a written stretch: the greatest count of the
/// form odd·2ⁿ below `parts`, so that three stand for two, five to seven for four, and in a dotted
/// beat four or five for three (Gould, *Behind Bars*, "Tuplets", from memory). Equal to `parts`
/// where plain values say it.
pub fn normal_count(written: Time, parts: u32) -> u32 {
    let odd = u32::try_from(written.numerator()).unwrap_or(1);
    let odd = odd >> odd.trailing_zeros().min(31);
    let mut normal = odd.max(1);
    while normal < parts && normal <= u32::MAX / 2 {
        if normal * 2 > parts {
            return normal;
        }
        normal *= 2;
    }
    if normal > parts && Value::exactly(written / i64::from(parts.max(1))).is_some() {
        return parts;
    }
    normal
}

/// When a voice sounds.
struct Sounds<'a> {
    hits: &'a [Hit],
    end: Time,
}

impl<'a> Sounds<'a> {
    fn new(hits: &'a [Hit], end: Time) -> Self {
        Self { hits, end }
    }

    /// No hit is struck or held from `start` up to `end`.
    fn silent(&self, start: Time, end: Time) -> bool {
        !self.hits.iter().any(|hit| {
            (hit.at >= start && hit.at < end)
                || (hit.at < start && hit.until.is_some_and(|u| u > start))
        })
    }

    fn struck_in(hits: &[Hit], start: Time, end: Time) -> bool {
        hits.iter().any(|hit| hit.at >= start && hit.at < end)
    }

    /// The hit that is struck in or held into a stretch, by index, in order.
    fn within(&self, start: Time, end: Time) -> impl Iterator<Item = (usize, &'a Hit)> {
        let hits = self.hits;
        let first = hits.partition_point(|hit| hit.at < start);
        let first = match first.checked_sub(1).and_then(|i| hits.get(i)) {
            Some(before) if before.until.is_some_and(|u| u > start) => first - 1,
            _ => first,
        };
        hits.iter().enumerate().skip(first).take_while(move |(_, hit)| hit.at < end)
    }

    fn next_after(&self, index: usize) -> Time {
        self.hits.get(index + 1).map_or(self.end, |next| next.at)
    }
}

fn write_stretch(
    stretch: &ScaledStretch,
    beat: Time,
    sounds: &Sounds<'_>,
    events: &mut Vec<WrittenEvent>,
) {
    let mut at = stretch.start;
    for (index, hit) in sounds.within(stretch.start, stretch.end) {
        let from = hit.at.max(stretch.start);
        rests_between(events, at, from, stretch, beat);
        let next = sounds.next_after(index);
        let pinned = hit.until.map(|until| until.min(next));
        let end = pinned.unwrap_or(next).min(stretch.end);
        let goes_on = pinned.is_some_and(|until| until > stretch.end);
        at = push_notes(events, index, hit, (from, end), stretch, goes_on);
    }
    rests_between(events, at, stretch.end, stretch, beat);
}

/// Writes a hit from one time to another; the time where its last note ends.
fn push_notes(
    events: &mut Vec<WrittenEvent>,
    index: usize,
    hit: &Hit,
    (start, end): (Time, Time),
    stretch: &ScaledStretch,
    goes_on: bool,
) -> Time {
    let mut at = start;
    while at < end {
        let Some(value) = Value::up_to((end - at) * stretch.scale) else { break };
        let length = value.time() * stretch.scale.recip();
        let last = at + length >= end || hit.until.is_none();
        events.push(WrittenEvent {
            at,
            length,
            value,
            kind: EventKind::Chord {
                hit: index,
                continued: at > hit.at || hit.continued,
                tied: !last || goes_on || hit.tied,
            },
        });
        at += length;
        if hit.until.is_none() {
            break;
        }
    }
    at
}

fn rests_between(
    events: &mut Vec<WrittenEvent>,
    from: Time,
    to: Time,
    stretch: &ScaledStretch,
    beat: Time,
) {
    let origin = if stretch.scale == Ratio::from_integer(1) { beat } else { stretch.start };
    push_rests(events, from, to, origin, stretch.scale, stretch.dotted_rests);
}

/// Fills a silence with rests, each on a multiple of itself counted from `origin`.
fn push_rests(
    events: &mut Vec<WrittenEvent>,
    from: Time,
    to: Time,
    origin: Time,
    scale: Ratio<i64>,
    dotted: bool,
) {
    let mut at = from;
    while at < to {
        let left = (to - at) * scale;
        let offset = (at - origin) * scale;
        if dotted
            && offset == Time::ZERO
            && let Some(value) = Value::exactly(left)
        {
            events.push(WrittenEvent { at, length: to - at, value, kind: EventKind::Rest });
            return;
        }
        let mut value = match Value::plain_up_to(left) {
            Some(value) => value,
            None => return,
        };
        while !offset.is_multiple_of(value.time()) && value.halvings < 8 {
            value.halvings += 1;
        }
        let length = value.time() * scale.recip();
        events.push(WrittenEvent { at, length, value, kind: EventKind::Rest });
        at += length;
    }
}

/// The spans that beams of a bar may not leave: the meter's beam groups, joined where a tuplet
/// covers several.
pub fn beam_spans(bar: &Bar, tuplets: &[Tuplet]) -> Vec<(Time, Time)> {
    let mut spans: Vec<(Time, Time)> = Vec::new();
    let mut at = Time::ZERO;
    for group in group_lengths(&bar.meter) {
        let start = at.max(bar.offset);
        at += group;
        if at > bar.offset {
            spans.push((start - bar.offset, (at - bar.offset).min(bar.length)));
        }
    }
    spans.retain(|(start, end)| start < end);
    for tuplet in tuplets.iter().filter(|t| t.level == 0) {
        let covered = |(start, end): &(Time, Time)| *start < tuplet.end && *end > tuplet.start;
        let Some(first) = spans.iter().position(covered) else { continue };
        let Some(last) = spans.iter().rposition(covered) else { continue };
        if last > first {
            spans[first] = (spans[first].0, spans[last].1);
            spans.drain(first + 1..=last);
        }
    }
    spans
}

fn group_lengths(meter: &Meter) -> Vec<Time> {
    meter.beam_groups()
}
