//! The room between columns: springs that grow with time, held open by ink (Gourlay, "Spacing a Line
//! of Music", 1987; Gould, *Behind Bars*, "Spacing", from memory).

use super::engraver::Engraver;
use super::measured::{Column, VoiceShape};
use super::rhythm;
use super::rhythm::EventKind;
use crate::score::Bar;
use crate::score::Time;

/// Room from one column to the next, or to the end of the bar.
#[derive(Clone, Copy, Debug)]
pub struct Gap {
    /// The width its time asks for.
    pub ideal: f64,
    /// The width its ink needs, and that of its equal neighbours.
    pub min: f64,
    /// The width its ink alone needs.
    pub ink: f64,
}

impl Gap {
    /// Its width with its ideal scaled by a factor; on a tight line only ink holds it open.
    pub fn width(&self, factor: f64, tight: bool) -> f64 {
        (self.ideal * factor).max(if tight { self.ink } else { self.min })
    }
}

/// The gaps after each column. The room for a time is that of a note so long, so that equal times
/// get equal room whichever voice they fall in. Where one voice crosses a tuplet of the other it is
/// in proportion to the shortest note sounding (Gourlay 1987), so that both stay even.
pub fn gaps(
    engraver: &Engraver<'_>,
    bar: &Bar,
    voices: &[VoiceShape; 2],
    columns: &[Column],
) -> Vec<Gap> {
    let style = engraver.style;
    let mut gaps = Vec::with_capacity(columns.len());
    for (index, column) in columns.iter().enumerate() {
        let next = columns.get(index + 1);
        let until = next.map_or(bar.length, |next| next.at);
        let time = until - column.at;
        let crossed = crosses(voices, column.at);
        let shortest = voices
            .iter()
            .filter(|_| crossed)
            .filter_map(|voice| {
                let events = &voice.rhythm.events;
                let after = events.partition_point(|e| e.at <= column.at);
                let event = events.get(after.checked_sub(1)?)?;
                (event.at + event.length > column.at && event.kind != EventKind::BarRest)
                    .then_some(event.length)
            })
            .min()
            .filter(|shortest| *shortest > time)
            .unwrap_or(time);
        let ideal = if shortest == Time::ZERO {
            0.0
        } else {
            ideal_width(engraver, shortest) * (time.as_f64() / shortest.as_f64())
        };
        let min = match next {
            Some(next) => column.right + next.left + style.column_gap,
            None => column.right + style.before_barline,
        };
        gaps.push(Gap { ideal, min, ink: min });
    }
    gaps
}

/// Whether at a moment one voice has a tuplet and the other an onset of its own inside it.
fn crosses(voices: &[VoiceShape; 2], at: Time) -> bool {
    [(0, 1), (1, 0)].iter().any(|(one, other)| {
        voices[*one].rhythm.tuplets.iter().filter(|t| t.start <= at && at < t.end).any(|tuplet| {
            let like = |t: &rhythm::Tuplet| {
                (t.start, t.end, t.number) == (tuplet.start, tuplet.end, tuplet.number)
            };
            let inside = |time: Time| tuplet.start < time && time < tuplet.end;
            !voices[*other].rhythm.tuplets.iter().any(like)
                && voices[*other].rhythm.events.iter().any(|e| inside(e.at))
        })
    })
}

/// The room a time wants: grows by one factor for each doubling.
fn ideal_width(engraver: &Engraver<'_>, time: Time) -> f64 {
    let sixteenths = time.as_f64() * 16.0;
    engraver.style.sixteenth * engraver.style.doubling.powf(sixteenths.log2())
}

/// The most one gap of equal notes may ask of its neighbours, as a factor on the least of them.
const EVEN_LIMIT: f64 = 1.4;

/// Gives equal notes that follow one another in a beat the room of the one that needs most, so that
/// brackets or syllables in one place do not make them uneven. Grace notes stand in room of their
/// own and ask nothing of the others; nor does what is far wider than the rest.
pub fn even_out(bar: &Bar, columns: &[Column], voices: &[VoiceShape; 2], gaps: &mut [Gap]) {
    let until = |index: usize| columns.get(index + 1).map_or(bar.length, |next| next.at);
    let graced = |index: usize| {
        let at = columns.get(index + 1).map(|column| column.at);
        at.is_some_and(|at| voices.iter().any(|voice| voice.has_grace(at)))
    };
    let mut start = Time::ZERO - bar.offset;
    for beat in bar.meter.beats() {
        let end = start + beat;
        let first = columns.partition_point(|column| column.at < start);
        let last = columns.partition_point(|column| column.at < end);
        start = end;
        let mut from = first;
        while from < last {
            let Some(column) = columns.get(from) else { break };
            let length = until(from) - column.at;
            let mut to = from + 1;
            while to < last && columns.get(to).is_some_and(|c| until(to) - c.at == length) {
                to += 1;
            }
            let equal: Vec<usize> = (from..to).filter(|index| !graced(*index)).collect();
            let least = equal.iter().filter_map(|i| gaps.get(*i)).map(|g| g.min);
            let least = least.fold(f64::INFINITY, f64::min);
            let most = equal
                .iter()
                .filter_map(|i| gaps.get(*i))
                .map(|g| g.min)
                .filter(|min| *min <= least * EVEN_LIMIT)
                .fold(0.0, f64::max);
            for index in equal {
                if let Some(gap) = gaps.get_mut(index) {
                    gap.min = gap.min.max(most);
                }
            }
            from = to;
        }
    }
}
