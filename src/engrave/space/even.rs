//! Equal notes get equal room.

use super::gaps::Gap;
use crate::engrave::measure::columns::Column;
use crate::engrave::measure::voice::VoiceShape;
use crate::score::{Bar, Time};
use std::ops::Range;

/// The most one gap of equal notes may ask of its neighbours, as a factor on the least of them (no
/// source).
const EVEN_LIMIT: f64 = 1.4;

/// Gives equal notes that follow one another in a beat the room of the one that needs most, so that
/// brackets or syllables in one place do not make them uneven. Grace notes stand in room of their
/// own and ask nothing of the others; nor does what is far wider than the rest.
pub fn even_out(bar: &Bar, columns: &[Column], voices: &[VoiceShape; 2], gaps: &mut [Gap]) {
    let until = |index: usize| columns.get(index + 1).map_or(bar.length, |next| next.at);
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
            widen_to_widest(from..to, columns, voices, gaps);
            from = to;
        }
    }
}

/// Gives gaps after equal notes the room of the widest that is not far wider than the rest.
fn widen_to_widest(
    equal: Range<usize>,
    columns: &[Column],
    voices: &[VoiceShape; 2],
    gaps: &mut [Gap],
) {
    let graced = |index: usize| {
        let at = columns.get(index + 1).map(|column| column.at);
        at.is_some_and(|at| voices.iter().any(|voice| voice.has_grace(at)))
    };
    let equal: Vec<usize> = equal.filter(|index| !graced(*index)).collect();
    let least = equal.iter().filter_map(|i| gaps.get(*i)).map(|g| g.min);
    let least = least.fold(f64::INFINITY, f64::min);
    let widths = equal.iter().filter_map(|i| gaps.get(*i)).map(|g| g.min);
    let most = widths.filter(|min| *min <= least * EVEN_LIMIT).fold(0.0, f64::max);
    for index in equal {
        if let Some(gap) = gaps.get_mut(index) {
            gap.min = gap.min.max(most);
        }
    }
}
