//! The room between columns: springs that grow with time, held open by ink (Gourlay, "Spacing a
//! Line of Music", 1987; Gould, *Behind Bars*, "Spacing", from memory).

use crate::engrave::engraver::Engraver;
use crate::engrave::measure::columns::Column;
use crate::engrave::measure::voice::VoiceShape;
use crate::engrave::notate::event::{EventKind, Tuplet};
use crate::score::{Bar, Time};

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
    /// A gap that keeps one width.
    pub fn fixed(width: f64) -> Self {
        Self { ideal: width, min: width, ink: width }
    }

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
    voices: &[&VoiceShape],
    columns: &[Column],
) -> Vec<Gap> {
    let style = engraver.style;
    let mut gaps = Vec::with_capacity(columns.len());
    for (index, column) in columns.iter().enumerate() {
        let next = columns.get(index + 1);
        let time = next.map_or(bar.length, |next| next.at) - column.at;
        let unit = match crosses(voices, column.at) {
            true => shortest_sounding(voices, column.at).filter(|shortest| *shortest > time),
            false => None,
        };
        let unit = unit.unwrap_or(time);
        let ideal = if unit == Time::ZERO {
            0.0
        } else {
            ideal_width(engraver, unit) * (time.as_f64() / unit.as_f64())
        };
        let min = match next {
            Some(next) => column.right + next.left + style.column_gap,
            None => column.right + style.before_barline,
        };
        gaps.push(Gap { ideal, min, ink: min });
    }
    gaps
}

/// The length of the shortest note or rest that lasts at a moment.
fn shortest_sounding(voices: &[&VoiceShape], at: Time) -> Option<Time> {
    let lasting = |voice: &&VoiceShape| {
        let events = &voice.rhythm.events;
        let after = events.partition_point(|e| e.at <= at);
        let event = events.get(after.checked_sub(1)?)?;
        let lasts = event.at + event.length > at && event.kind != EventKind::BarRest;
        lasts.then_some(event.length)
    };
    voices.iter().filter_map(lasting).min()
}

/// Whether at a moment one voice has a tuplet and another an onset of its own inside it.
fn crosses(voices: &[&VoiceShape], at: Time) -> bool {
    voices.iter().any(|one| {
        one.rhythm.tuplets.iter().filter(|t| t.start <= at && at < t.end).any(|tuplet| {
            let like = |t: &Tuplet| {
                (t.start, t.end, t.number) == (tuplet.start, tuplet.end, tuplet.number)
            };
            let inside = |time: Time| tuplet.start < time && time < tuplet.end;
            voices.iter().any(|other| {
                !other.rhythm.tuplets.iter().any(like)
                    && other.rhythm.events.iter().any(|e| inside(e.at))
            })
        })
    })
}

/// The room a time wants: grows by one factor for each doubling.
fn ideal_width(engraver: &Engraver<'_>, time: Time) -> f64 {
    let sixteenths = time.as_f64() * 16.0;
    engraver.style.sixteenth * engraver.style.doubling.powf(sixteenths.log2())
}
