//! Where breaths and caesuras stand: at the end of their beat, in room of their own before what
//! comes next (Gould, *Behind Bars*, "Pauses", from memory).

use super::gaps::Gap;
use super::measured::Column;
use super::system::PlacedBar;
use crate::score::Time;
use crate::score::{Bar, MarkKind};

/// From the middle of a pause to the ink of the note or the barline after it.
const PAUSE_ROOM: f64 = 0.9;
/// What a pause adds to the least room between two columns.
const PAUSE_WIDTH: f64 = 1.4;

/// The end of the beat a moment lies in.
fn end_of_beat(bar: &Bar, at: Time) -> Time {
    let mut end = Time::ZERO - bar.offset;
    for beat in bar.meter.beats() {
        end += beat;
        if end > at {
            break;
        }
    }
    end
}

/// Makes room for the pauses of a bar.
pub fn make_room(bar: &Bar, columns: &[Column], gaps: &mut [Gap]) {
    for mark in &bar.marks {
        if !matches!(mark.kind, MarkKind::Breath | MarkKind::Caesura) {
            continue;
        }
        let end = end_of_beat(bar, mark.at);
        let next = columns.partition_point(|column| column.at < end);
        if let Some(gap) = next.checked_sub(1).and_then(|before| gaps.get_mut(before)) {
            gap.min += PAUSE_WIDTH;
            gap.ink += PAUSE_WIDTH;
        }
    }
}

/// x of the middle of a pause that is written at a moment.
pub fn x(bar: &PlacedBar<'_>, at: Time) -> f64 {
    let end = end_of_beat(bar.bar, at);
    let columns = &bar.measured.columns;
    let next = columns.iter().zip(&bar.columns).find(|(column, _)| column.at >= end);
    match next {
        Some((column, x)) => x - column.left - PAUSE_ROOM,
        None => bar.right - bar.measured.closing - PAUSE_ROOM,
    }
}
