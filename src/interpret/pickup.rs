//! Pickups: how long the first bar may be, and where the key does not fit.

use super::bar_draft::BarDraft;
use super::codes;
use super::misfit::meter_word;
use super::rows::PlannedSet;
use crate::score::{Span, Time};
use crate::source::Diagnostics;

/// The pickup a set asks for, where it has the block's first bar or the block did begin with one.
pub(super) fn wanted(set: &PlannedSet<'_>, begun: bool) -> Option<Time> {
    let meter = &set.setup.meter;
    let pickup = set.setup.pickup.map(|(pickup, _)| pickup);
    let pickup = pickup.filter(|pickup| meter.is_measured() && *pickup < meter.length())?;
    (set.first == 0 || begun).then_some(pickup)
}

/// Reports a pickup that is no shorter than a bar. `block` is the place of the block.
pub(super) fn check(set: &PlannedSet<'_>, block: Span, diagnostics: &mut Diagnostics) {
    let meter = &set.setup.meter;
    if let Some((pickup, span)) = set.setup.pickup.filter(|_| set.first == 0 && meter.is_measured())
        && pickup >= meter.length()
    {
        let bar = meter_word(meter);
        diagnostics
            .error(
                span.unwrap_or(block),
                format!("a pickup of {pickup} is no shorter than a bar of {bar}"),
            )
            .code(codes::PICKUP_TOO_LONG)
            .mend("write the length of the notes before the first whole bar");
    }
}

/// Warns of the pickup of a block whose first bar is a whole one, or that has no whole bars.
pub(super) fn check_used(
    sets: &[PlannedSet<'_>],
    first: Option<&BarDraft>,
    block: Span,
    diagnostics: &mut Diagnostics,
) {
    let (Some(set), Some(first)) = (sets.first(), first) else { return };
    let Some((pickup, span)) = set.setup.pickup.filter(|_| set.has("pickup")) else { return };
    if !first.meter.is_measured() {
        diagnostics
            .warning(
                span.unwrap_or(block),
                "a pickup comes before the first whole bar, and `time: none` has no whole bars",
            )
            .code(codes::PICKUP_UNUSED)
            .mend("leave it out: every bar is as long as what stands in it");
    } else if !first.broken && pickup < first.meter.length() {
        diagnostics
            .warning(
                span.unwrap_or(block),
                format!("the first bar is a whole one; the pickup of {pickup} is not used"),
            )
            .code(codes::PICKUP_UNUSED)
            .mend("write the notes of the pickup and a `|` before the first whole bar");
    }
}
