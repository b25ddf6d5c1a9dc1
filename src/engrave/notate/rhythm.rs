//! Hits to written notes and rests.
//!
//! A hit lasts up to the next hit or to the end of its beat where one plain or dotted note can say
//! so; else a rest follows. A hit whose end is pinned keeps it, with ties where no single note can
//! say so.

use super::event::{EventKind, WrittenEvent, WrittenRhythm};
use super::frames::frames;
use super::held::Pulse;
use super::rests::{Silence, joined_silence};
use super::sounds::Sounds;
use super::tuplets::{ScaledStretch, divide};
use super::value::Value;
use crate::score::{Bar, Hit, Time, Voice};
use num_rational::Ratio;

/// Writes one voice of a bar. `other` is the bar's other voice. A voice without hits has a rest for
/// the whole bar; where the other voice sounds, only if it is to show it.
pub fn write(bar: &Bar, voice: &Voice, other: &Voice) -> WrittenRhythm {
    let mut rhythm = WrittenRhythm::default();
    if voice.hits.is_empty() {
        if other.hits.is_empty() || voice.bar_rest {
            rhythm.events.push(WrittenEvent {
                at: Time::ZERO,
                length: bar.length,
                value: Value { halvings: 0, dots: 0 },
                kind: EventKind::BarRest,
            });
        }
        return rhythm;
    }
    let frames = frames(bar, voice);
    let sounds = Sounds::new(&voice.hits, bar.length);
    let mut stretches = Vec::new();
    let mut ends = Vec::with_capacity(frames.len());
    for frame in &frames {
        divide(frame, &mut stretches, &mut rhythm.tuplets);
        ends.push(stretches.len());
    }
    let events = std::mem::take(&mut rhythm.events);
    let mut writer = Writer { pulse: None, bar, stretches: &stretches, sounds, events };
    let mut at = Time::ZERO;
    let mut first = 0;
    for (index, (frame, end)) in frames.iter().zip(ends).enumerate() {
        let own = first..end;
        first = end;
        if frame.start < at && frame.end <= at {
            continue;
        }
        if frame.start >= at && writer.sounds.silent(frame.start, frame.end) {
            at = joined_silence(bar, &frames[index..], &writer.sounds, other);
            let silence = Silence {
                from: frame.start,
                to: at,
                origin: frame.start,
                scale: Ratio::from_integer(1),
                dotted: frame.dotted.is_some(),
            };
            silence.write(&mut writer.events);
            continue;
        }
        for stretch in own {
            at = writer.stretch(stretch, frame.start, at);
        }
    }
    rhythm.events = writer.events;
    rhythm
}

/// A voice of a bar that is being written.
struct Writer<'a> {
    /// Made where it is first needed.
    pulse: Option<Pulse>,
    bar: &'a Bar,
    stretches: &'a [ScaledStretch],
    sounds: Sounds<'a>,
    events: Vec<WrittenEvent>,
}

impl Writer<'_> {
    /// Writes what begins in a stretch of a beat, of which all before `written` stands already; up
    /// to where it is written then.
    fn stretch(&mut self, index: usize, beat: Time, written: Time) -> Time {
        let Some(stretch) = self.stretches.get(index) else { return written };
        let mut at = written.max(stretch.start);
        for (hit_index, hit) in self.sounds.struck(stretch.start, stretch.end) {
            rests_between(&mut self.events, at, hit.at, stretch, beat);
            let next = self.sounds.next_after(hit_index);
            at = match hit.until.filter(|_| !hit.is_slash()) {
                Some(until) => self.held(index, hit_index, hit, until.min(next)),
                None => self.struck(stretch, hit_index, hit, next.min(stretch.end)),
            };
        }
        if at < stretch.end {
            rests_between(&mut self.events, at, stretch.end, stretch, beat);
            at = stretch.end;
        }
        at
    }

    /// Writes a hit as one note no longer than up to `end`; where the note ends.
    fn struck(&mut self, stretch: &ScaledStretch, index: usize, hit: &Hit, end: Time) -> Time {
        if hit.is_slash() {
            // One slash is a beat, however long that is (Gould, *Behind Bars*, "Slash notation", from memory).
            let kind = EventKind::Chord { hit: index, continued: false, tied: false };
            let (at, value) = (hit.at, Value { halvings: 2, dots: 0 });
            self.events.push(WrittenEvent { at, length: end - at, value, kind });
            return end;
        }
        let Some(value) = Value::up_to((end - hit.at) * stretch.scale) else { return hit.at };
        let length = value.time() * stretch.scale.recip();
        let kind = EventKind::Chord { hit: index, continued: hit.continued, tied: hit.tied };
        self.events.push(WrittenEvent { at: hit.at, length, value, kind });
        hit.at + length
    }

    /// Writes a hit that lasts up to `end`, from the stretch on in which it begins; where its last
    /// note ends.
    fn held(&mut self, mut stretch: usize, index: usize, hit: &Hit, end: Time) -> Time {
        let mut notes: Vec<(Time, Time, Value)> = Vec::new();
        let mut at = hit.at;
        while at < end {
            let Some(own) = self.stretches.get(stretch) else { break };
            stretch += 1;
            let mut to = own.end;
            if own.in_tuplet {
                let to = to.min(end);
                at = notes_at_scale(at, to, own.scale, &mut notes);
                continue;
            }
            while let Some(next) = self.stretches.get(stretch).filter(|next| !next.in_tuplet) {
                to = next.end;
                stretch += 1;
            }
            let to = to.min(end);
            let pulse =
                self.pulse.get_or_insert_with(|| Pulse::of(&self.bar.meter, self.bar.offset));
            notes.extend(pulse.notes(at, to).into_iter().map(|(at, v)| (at, v.time(), v)));
            at = to;
        }
        let last = notes.len().saturating_sub(1);
        for (number, (at, length, value)) in notes.into_iter().enumerate() {
            let continued = number > 0 || hit.continued;
            let tied = number < last || hit.tied;
            let kind = EventKind::Chord { hit: index, continued, tied };
            self.events.push(WrittenEvent { at, length, value, kind });
        }
        at
    }
}

/// Notes that fill a stretch written at a scale, longest first; where the last ends.
fn notes_at_scale(
    from: Time,
    to: Time,
    scale: Ratio<i64>,
    notes: &mut Vec<(Time, Time, Value)>,
) -> Time {
    let mut at = from;
    while at < to {
        let Some(value) = Value::up_to((to - at) * scale) else { return to };
        let length = value.time() * scale.recip();
        notes.push((at, length, value));
        at += length;
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
    let origin = if stretch.in_tuplet { stretch.start } else { beat };
    let (scale, dotted) = (stretch.scale, stretch.dotted_rests);
    Silence { from, to, origin, scale, dotted }.write(events);
}
