//! Bars without a time signature: as long as what stands in them.

use super::bars::{RawBar, Spreads};
use super::codes;
use super::rows::{PlannedSet, Rhythm, RowKind};
use crate::score::kit::Limb;
use crate::score::{Meter, Time};
use crate::source::Diagnostics;
use crate::syntax::limits::SPREAD_BEATS;
use std::sync::Arc;

/// The groups of one bar of a set, as those of the row that is the longest; a quarter where none has any.
pub(super) fn meter(set: &PlannedSet<'_>, bar: usize) -> Arc<Meter> {
    let rows = set.rows.iter().filter_map(|row| match &row.kind {
        RowKind::Hits(_, raw) => raw.bars.get(bar).map(groups),
        RowKind::Sticks(Limb::Hands, raw) if set.rhythm == Rhythm::Sticks => {
            raw.bars.get(bar).map(groups)
        }
        RowKind::Sticks(..) | RowKind::Count(_) | RowKind::Words(..) => None,
    });
    let length = |groups: &Vec<Time>| groups.iter().copied().sum::<Time>();
    let longest = rows.reduce(|a, b| if length(&b) > length(&a) { b } else { a });
    match longest.filter(|groups| !groups.is_empty()) {
        Some(groups) => Arc::new(Meter::unmetered(&groups)),
        None => Arc::new(Meter::unmetered(&[Time::QUARTER])),
    }
}

/// The groups of a row's bar as beats: quarters, and what is shorter than one.
fn groups<T: Spreads>(raw: &RawBar<'_, T>) -> Vec<Time> {
    let mut groups = Vec::new();
    for spread in raw.spreads() {
        let (beats, parts) = spread.map_or((1, 1), |s| (s.beats.min(SPREAD_BEATS), s.divided_by));
        let length = Time::QUARTER * i64::from(beats) / i64::from(parts.max(1));
        let whole = length.ratio(Time::QUARTER).to_integer();
        let rest = length - Time::QUARTER * whole;
        groups.extend((0..whole).map(|_| Time::QUARTER));
        groups.extend((rest > Time::ZERO).then_some(rest));
    }
    groups
}

/// Whether the rhythm of a set can be read; a count row, whose numbers name the beats of a bar, is a fault.
pub(super) fn check(set: &PlannedSet<'_>, diagnostics: &mut Diagnostics) -> bool {
    let row = set.rows.iter().find(|row| matches!(row.kind, RowKind::Count(_)));
    let Some(row) = row.filter(|_| !set.setup.meter.is_measured()) else { return true };
    diagnostics
        .error(row.name_span, "a `count` row counts the beats of a bar, and `time: none` has none")
        .code(codes::COUNT_UNMETERED)
        .mend("write the rhythm in cells, or give the block a time signature");
    false
}
