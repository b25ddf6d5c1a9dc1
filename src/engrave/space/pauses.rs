//! Room for breaths and caesuras, which stand at the end of their beat before what comes next
//! (Gould, *Behind Bars*, "Pauses", from memory).

use super::gaps::Gap;
use crate::engrave::measure::columns::Column;
use crate::score::mark::NoteMark;
use crate::score::{Bar, MarkKind, Time};

/// What a pause adds to the least room between two columns, so that it is clear of a flag (no source).
const PAUSE_WIDTH: f64 = 2.0;

/// Whether a mark stands among the notes and needs room there.
fn is_pause(kind: &MarkKind) -> bool {
    match kind {
        MarkKind::Note(NoteMark::Breath | NoteMark::Caesura) => true,
        MarkKind::Form(_)
        | MarkKind::Tempo(_)
        | MarkKind::Feel(_)
        | MarkKind::Note(NoteMark::Fermata)
        | MarkKind::Words(_)
        | MarkKind::Number(_)
        | MarkKind::Layout(_)
        | MarkKind::Phrase(_) => false,
    }
}

/// The end of the beat a moment lies in.
pub fn end_of_beat(bar: &Bar, at: Time) -> Time {
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
        if !is_pause(&mark.kind) {
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
