//! Equal notes get equal room.

use super::gaps::Gap;
use crate::engrave::measure::columns::Column;
use crate::engrave::measure::voice::VoiceShape;
use crate::score::{Bar, Time};
use smallvec::SmallVec;
use std::ops::Range;

/// Gives equal notes that follow one another under one beam, or where it would be, the room of the
/// one that needs most, so that brackets, letters or syllables in one place do not make them uneven.
/// Grace notes stand in room of their own and ask nothing of the others.
pub fn even_out(bar: &Bar, columns: &[Column], voices: &[&VoiceShape], gaps: &mut [Gap]) {
    let until = |index: usize| columns.get(index + 1).map_or(bar.length, |next| next.at);
    let mut start = Time::ZERO - bar.offset;
    for group in bar.beam_groups() {
        let end = start + group;
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
            widen_to_widest(from..to, columns, voices, gaps);
            from = to;
        }
    }
}

/// Gives gaps after equal notes the room of the widest.
fn widen_to_widest(
    equal: Range<usize>,
    columns: &[Column],
    voices: &[&VoiceShape],
    gaps: &mut [Gap],
) {
    let graced = |index: usize| {
        let at = columns.get(index + 1).map(|column| column.at);
        at.is_some_and(|at| voices.iter().any(|voice| voice.has_grace(at)))
    };
    let equal: SmallVec<[usize; 16]> = equal.filter(|index| !graced(*index)).collect();
    let most = equal.iter().filter_map(|i| gaps.get(*i)).map(|gap| gap.min).fold(0.0, f64::max);
    for index in equal {
        if let Some(gap) = gaps.get_mut(index) {
            gap.min = gap.min.max(most);
        }
    }
}
