//! Silences to rests, split so that each begins on a multiple of itself (Gould, *Behind Bars*,
//! "Grouping of rests", from memory).

use super::event::{EventKind, WrittenEvent};
use super::frames::Frame;
use super::sounds::Sounds;
use super::value::Value;
use crate::score::meter::MeterKind;
use crate::score::{Bar, Time, Voice};
use num_rational::Ratio;

/// A silence that rests are to fill.
pub struct Silence {
    /// Its start in the bar.
    pub from: Time,
    /// Its end.
    pub to: Time,
    /// Where the multiples of a rest are counted from.
    pub origin: Time,
    /// Written time for each unit of real time.
    pub scale: Ratio<i64>,
    /// A dotted rest may fill it.
    pub dotted: bool,
}

impl Silence {
    /// Adds its rests.
    pub fn write(&self, events: &mut Vec<WrittenEvent>) {
        let mut at = self.from;
        while at < self.to {
            let left = (self.to - at) * self.scale;
            let offset = (at - self.origin) * self.scale;
            if self.dotted
                && offset == Time::ZERO
                && let Some(value) = Value::exactly(left)
            {
                events.push(WrittenEvent {
                    at,
                    length: self.to - at,
                    value,
                    kind: EventKind::Rest,
                });
                return;
            }
            let Some(mut value) = Value::plain_up_to(left) else { return };
            while !offset.is_multiple_of(value.time())
                && let Some(half) = value.halved()
            {
                value = half;
            }
            let length = value.time() * self.scale.recip();
            events.push(WrittenEvent { at, length, value, kind: EventKind::Rest });
            at += length;
        }
    }
}

/// How far a silence that begins with a frame goes on in one rest: two beats in the halves of a
/// bar of four.
pub fn joined_silence(bar: &Bar, frames: &[Frame<'_>], sounds: &Sounds<'_>, other: &Voice) -> Time {
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
