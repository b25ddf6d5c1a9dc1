//! Bars of rows whose groups are beats.

use crate::interpret::bar_draft::{BarDraft, BarExtent};
use crate::interpret::bars::{RawBar, Same, Spreads};
use crate::interpret::codes;
use crate::interpret::misfit::{Misfit, meter_word};
use crate::interpret::over_barline::{PlacedPart, report_misplaced};
use crate::interpret::place::{CellPlacer, PlacedCells};
use crate::interpret::rows::{PlannedRow, PlannedSet, Rhythm, RowKind};
use crate::interpret::ruler::{Extent, Ruler};
use crate::score::division::BarlineSide;
use crate::score::kit::Limb;
use crate::score::{Meter, Time};
use crate::source::Diagnostics;
use crate::source::say::RowBar;
use crate::syntax::tree::{AcrossPart, Cell, CellGroup, StickGroup};

/// One bar of a set whose groups are beats.
#[derive(Clone, Copy)]
pub(crate) struct GridBar<'s, 'a> {
    pub(crate) set: &'s PlannedSet<'a>,
    /// The bar in the set, from zero.
    pub(crate) bar: usize,
    pub(crate) ruler: &'s Ruler,
    /// Its time signature, or its own groups where there is none.
    pub(crate) meter: &'s Meter,
    /// Bars of the whole block.
    pub(crate) bars_in_block: usize,
}

/// A row that gives the hits of a grid, in one bar.
enum GridRow<'r, 'a> {
    Hits(&'r RawBar<'a, CellGroup>),
    Sticks(&'r RawBar<'a, StickGroup>),
}

impl<'s, 'a> GridBar<'s, 'a> {
    /// Where in the meter the bar starts and how long it is: whole, but for a pickup that is filled
    /// exactly and for the last bar that complements it. `wanted` is the length of the pickup the
    /// set asks for; `has_pickup` says whether the block did start with one.
    pub(crate) fn extent(&self, wanted: Option<Time>, has_pickup: bool) -> BarExtent {
        let whole = self.meter.length();
        let full = BarExtent { offset: Time::ZERO, length: whole };
        let Some(pickup) = wanted else { return full };
        let index = self.set.first + self.bar;
        let mut choices = Vec::new();
        if index == 0 {
            choices.push(BarExtent { offset: whole - pickup, length: pickup });
        }
        choices.push(full);
        if index + 1 == self.bars_in_block && has_pickup {
            choices.push(BarExtent { offset: Time::ZERO, length: whole - pickup });
        }
        let fits = |extent: &BarExtent| {
            let ends = |extents: Vec<Extent>| extents.last().is_some_and(|l| l.end == extent.end());
            self.set.rows.iter().any(|row| match self.row(row) {
                Some(GridRow::Hits(raw)) => ends(self.ruler.lay(raw.spreads(), extent.offset)),
                Some(GridRow::Sticks(raw)) => ends(self.ruler.lay(raw.spreads(), extent.offset)),
                None => false,
            })
        };
        choices.into_iter().find(fits).unwrap_or(full)
    }

    /// A row in this bar, where it gives hits.
    fn row<'r>(&self, row: &'r PlannedRow<'a>) -> Option<GridRow<'r, 'a>> {
        match &row.kind {
            RowKind::Hits(_, raw) => raw.bars.get(self.bar).map(GridRow::Hits),
            RowKind::Sticks(Limb::Hands, raw) if self.set.rhythm == Rhythm::Sticks => {
                raw.bars.get(self.bar).map(GridRow::Sticks)
            }
            RowKind::Sticks(Limb::Hands | Limb::Feet, _)
            | RowKind::Count(_)
            | RowKind::Words(..) => None,
        }
    }

    /// Places the cells of a row in this bar, which is the last of `drafts`.
    pub(crate) fn place(
        &self,
        row: &PlannedRow<'a>,
        placer: &mut CellPlacer<'_>,
        drafts: &mut [BarDraft],
        diagnostics: &mut Diagnostics,
    ) -> Option<PlacedCells> {
        let mut unreported = Diagnostics::default();
        match self.row(row)? {
            GridRow::Hits(raw) => {
                let over = placer.over.take();
                let left = over.as_ref().map(|over| over.left);
                let extents = self.extents(row, raw, left, drafts, diagnostics);
                let place = self.place_of(row);
                if raw.same.is_some() || !self.meter.is_measured() {
                    let sign = raw.same.map(|same| same.span);
                    if let Some(part) = raw.groups.iter().find_map(|group| group.across) {
                        if sign.is_some() || part.side == BarlineSide::Before {
                            report_misplaced(part, place, sign, diagnostics);
                        }
                        return Some(PlacedCells::default());
                    }
                }
                let offset = drafts.last().map_or(Time::ZERO, |draft| draft.offset);
                let next = self.next_cells(row);
                let reported = if raw.same.is_some() { &mut unreported } else { diagnostics };
                let mut over = over;
                let place = |group: &CellGroup, extent: Extent, placed: &mut PlacedCells| {
                    let Some(part) = group.across else {
                        placer.group(&group.cells, extent, group.span, placed, reported);
                        return;
                    };
                    let start = extent.start + offset;
                    let own = PlacedPart { group, part, extent, place };
                    match (part.side, over.take()) {
                        (BarlineSide::After, Some(over)) => {
                            own.after(placer, over, placed, reported);
                        }
                        // The part before the barline was faulty.
                        (BarlineSide::After, None) => {}
                        (BarlineSide::Before, _) => {
                            own.before(placer, (self.ruler, start), next, placed, reported);
                        }
                    }
                };
                Some(placed(raw, extents, drafts, place))
            }
            GridRow::Sticks(raw) => {
                let extents = self.extents(row, raw, None, drafts, diagnostics);
                let reported = if raw.same.is_some() { &mut unreported } else { diagnostics };
                let place = |group: &StickGroup, extent, placed: &mut PlacedCells| {
                    placer.stick_group(&group.cells, extent, group.span, placed, reported);
                };
                Some(placed(raw, extents, drafts, place))
            }
        }
    }

    /// The extents of the groups of a row; a fault where they do not fill the bar.
    fn extents<T: Spreads>(
        &self,
        row: &PlannedRow<'a>,
        raw: &RawBar<'_, T>,
        left: Option<Time>,
        drafts: &mut [BarDraft],
        diagnostics: &mut Diagnostics,
    ) -> Vec<Extent> {
        let Some(draft) = drafts.last_mut() else { return Vec::new() };
        let extents = self.lay(raw, left, draft);
        let Some(last) = extents.last() else { return extents };
        let lost = left.is_none() && begins_across(raw);
        if raw.damaged || lost {
            draft.broken = true;
        }
        if last.end == draft.end() || row.damaged || raw.damaged || lost {
            return extents;
        }
        draft.broken = true;
        let place = self.place_of(row);
        let meter = self.meter;
        if let Some(Same { again, span }) = raw.same {
            // The fault was reported with the bar that is repeated.
            if !self.fits_as_before(drafts, again.bars.into()) {
                let bar = meter_word(meter);
                diagnostics
                    .error(span, format!("{place}: the bar before does not fill this bar of {bar}"))
                    .code(codes::SAME_BAR_MISFIT)
                    .mend("write the bar out");
            }
            return extents;
        }
        let ruler = self.ruler;
        Misfit { place, meter, ruler, draft, raw, extents: &extents }.report(diagnostics);
        extents
    }

    /// Lays the groups of a bar; what begins with a group over a barline begins with what is `left` of it,
    /// and a group over the next one takes what is left of the bar.
    fn lay<T: Spreads>(
        &self,
        raw: &RawBar<'_, T>,
        left: Option<Time>,
        draft: &BarDraft,
    ) -> Vec<Extent> {
        let mut extents = match left.filter(|_| begins_across(raw)) {
            Some(left) => {
                let first = Extent { start: draft.offset, end: draft.offset + left };
                let rest = self.ruler.lay(raw.spreads().skip(1), first.end);
                std::iter::once(first).chain(rest).collect()
            }
            None => self.ruler.lay(raw.spreads(), draft.offset),
        };
        let before = |part: AcrossPart| part.side == BarlineSide::Before;
        if raw.groups.last().and_then(|group| group.across()).is_some_and(before)
            && let Some(last) = extents.last_mut()
        {
            last.end = draft.end();
            last.start = last.start.min(last.end);
        }
        extents
    }

    /// The cells of a row's first group in the next bar.
    fn next_cells<'r>(&self, row: &'r PlannedRow<'a>) -> &'r [Cell] {
        let RowKind::Hits(_, raw) = &row.kind else { return &[] };
        let next = raw.bars.get(self.bar + 1).and_then(|bar| bar.groups.first());
        next.map_or(&[], |group| &group.cells)
    }

    /// Where this bar of a row is, for faults.
    fn place_of<'r>(&self, row: &PlannedRow<'r>) -> RowBar<'r> {
        let bar = (self.bars_in_block > 1).then_some(self.set.first + self.bar + 1);
        RowBar { row: row.name, bar }
    }

    /// Whether the bar has the time of the bar that it repeats, so many bars before.
    fn fits_as_before(&self, drafts: &[BarDraft], bars: usize) -> bool {
        let before = drafts.len().checked_sub(1 + bars).and_then(|before| drafts.get(before));
        let fits = |(before, now): (&BarDraft, &BarDraft)| {
            before.meter == now.meter && before.length == now.length
        };
        self.set.first + self.bar > 0 && before.zip(drafts.last()).is_some_and(fits)
    }
}

/// Whether a bar begins with what is after the barline of a group over it.
fn begins_across<T: Spreads>(raw: &RawBar<'_, T>) -> bool {
    let part = raw.groups.first().and_then(|group| group.across());
    part.is_some_and(|part| part.side == BarlineSide::After)
}

/// The cells of a bar's groups, each over its extent, in the last of `drafts`.
fn placed<T: Spreads>(
    raw: &RawBar<'_, T>,
    extents: Vec<Extent>,
    drafts: &[BarDraft],
    mut place: impl FnMut(&T, Extent, &mut PlacedCells),
) -> PlacedCells {
    let mut placed = PlacedCells::default();
    let Some(draft) = drafts.last() else { return placed };
    for ((group, spread), extent) in raw.groups.iter().zip(raw.spreads()).zip(extents) {
        if extent.end > draft.end() {
            break;
        }
        let (start, end) = (extent.start - draft.offset, extent.end - draft.offset);
        let first = placed.events.len();
        place(group, Extent { start, end }, &mut placed);
        if group.across().is_none() && spread.is_some_and(|s| s.beats > s.divided_by) {
            placed.ring(first, end);
        }
    }
    placed.join_fragments();
    placed.trim(draft.length);
    placed
}
