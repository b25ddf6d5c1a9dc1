//! Bars of rows whose groups are beats.

use crate::interpret::bar_draft::{BarDraft, BarExtent};
use crate::interpret::bars::{RawBar, Same, Spreads};
use crate::interpret::codes;
use crate::interpret::misfit::{Misfit, meter_word};
use crate::interpret::place::{CellPlacer, PlacedCells};
use crate::interpret::rows::{PlannedRow, PlannedSet, Rhythm, RowKind};
use crate::interpret::ruler::{Extent, Ruler};
use crate::score::Time;
use crate::score::kit::Limb;
use crate::source::Diagnostics;
use crate::source::say::RowBar;
use crate::syntax::tree::{CellGroup, StickGroup};

/// One bar of a set whose groups are beats.
#[derive(Clone, Copy)]
pub(crate) struct GridBar<'s, 'a> {
    pub(crate) set: &'s PlannedSet<'a>,
    /// The bar in the set, from zero.
    pub(crate) bar: usize,
    pub(crate) ruler: &'s Ruler,
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
        let whole = self.set.setup.meter.length();
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
                let extents = self.extents(row, raw, drafts, diagnostics);
                let reported = if raw.same.is_some() { &mut unreported } else { diagnostics };
                let place = |group: &CellGroup, extent, placed: &mut PlacedCells| {
                    placer.group(&group.cells, extent, group.span, placed, reported);
                };
                Some(placed(raw, extents, drafts, place))
            }
            GridRow::Sticks(raw) => {
                let extents = self.extents(row, raw, drafts, diagnostics);
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
        drafts: &mut [BarDraft],
        diagnostics: &mut Diagnostics,
    ) -> Vec<Extent> {
        let Some(draft) = drafts.last_mut() else { return Vec::new() };
        let extents = self.ruler.lay(raw.spreads(), draft.offset);
        let Some(last) = extents.last() else { return extents };
        if raw.damaged {
            draft.broken = true;
        }
        if last.end == draft.end() || row.damaged || raw.damaged {
            return extents;
        }
        draft.broken = true;
        let bar = (self.bars_in_block > 1).then_some(self.set.first + self.bar + 1);
        let place = RowBar { row: row.name, bar };
        let meter = &self.set.setup.meter;
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

    /// Whether the bar has the time of the bar that it repeats, so many bars before.
    fn fits_as_before(&self, drafts: &[BarDraft], bars: usize) -> bool {
        let before = drafts.len().checked_sub(1 + bars).and_then(|before| drafts.get(before));
        let fits = |(before, now): (&BarDraft, &BarDraft)| {
            before.meter == now.meter && before.length == now.length
        };
        self.set.first + self.bar > 0 && before.zip(drafts.last()).is_some_and(fits)
    }
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
        if spread.is_some_and(|s| s.beats > s.divided_by) {
            placed.ring(first, end);
        }
    }
    placed.join_fragments();
    placed.trim(draft.length);
    placed
}
