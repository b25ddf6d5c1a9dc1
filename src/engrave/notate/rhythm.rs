//! Hits to written notes and rests.
//!
//! A hit lasts up to the next hit or to the end of its beat where one plain or dotted note can say
//! so; else a rest follows. A hit whose end is pinned keeps it, with ties where no single note can
//! say so.

use super::event::{EventKind, WrittenEvent, WrittenRhythm};
use super::frames::frames;
use super::rests::{Silence, joined_silence};
use super::sounds::Sounds;
use super::tuplets::{ScaledStretch, divide};
use super::value::Value;
use crate::score::{Bar, Hit, Time, Voice};
use num_rational::Ratio;

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
            let silence = Silence {
                from: frame.start,
                to: end,
                origin: frame.start,
                scale: Ratio::from_integer(1),
                dotted: frame.dotted,
            };
            silence.write(&mut rhythm.events);
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
    let (scale, dotted) = (stretch.scale, stretch.dotted_rests);
    Silence { from, to, origin, scale, dotted }.write(events);
}
