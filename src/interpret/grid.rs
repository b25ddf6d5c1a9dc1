//! Bars of rows whose groups are beats.

use crate::interpret::assemble::Assembly;
use crate::interpret::bars::{RawBar, Same};
use crate::interpret::break_up::Spreads;
use crate::interpret::misfit::{Misfit, meter_word};
use crate::interpret::place::{CellPlacer, PlacedCells};
use crate::interpret::rows::{PlannedRow, PlannedSet, Rhythm, RowKind};
use crate::interpret::ruler::{Extent, Ruler};
use crate::score::Time;
use crate::score::kit::Limb;
use crate::source::Diagnostics;

impl<'a> Assembly<'a, '_> {
    /// Where in the meter a bar starts and how long it is: whole, but for a pickup that is filled
    /// exactly and for the last bar that complements it.
    pub(crate) fn extent(&self, set: &PlannedSet<'a>, bar: usize, ruler: &Ruler) -> (Time, Time) {
        let whole = set.setup.meter.length();
        let Some(pickup) = self.pickup_wanted(set) else { return (Time::ZERO, whole) };
        let index = set.first + bar;
        let mut choices = Vec::new();
        if index == 0 {
            choices.push((whole - pickup, pickup));
        }
        choices.push((Time::ZERO, whole));
        if index + 1 == self.total && self.pickup.is_some() {
            choices.push((Time::ZERO, whole - pickup));
        }
        let fits = |(offset, length): &(Time, Time)| {
            set.rows.iter().any(|row| {
                let ends =
                    |lots: Vec<Extent>| lots.last().is_some_and(|l| l.end == *offset + *length);
                match &row.kind {
                    RowKind::Hits(_, raw) => raw.bars.get(bar).is_some_and(|b| {
                        ends(ruler.lay(b.groups.iter().map(|g| g.spread()), *offset))
                    }),
                    RowKind::Sticks(Limb::Hands, raw) if set.rhythm == Rhythm::Sticks => {
                        raw.bars.get(bar).is_some_and(|b| {
                            ends(ruler.lay(b.groups.iter().map(|g| g.spread()), *offset))
                        })
                    }
                    _ => false,
                }
            })
        };
        choices.into_iter().find(fits).unwrap_or((Time::ZERO, whole))
    }

    /// Deals one bar of a row whose groups are beats.
    #[allow(clippy::too_many_arguments)]
    pub(crate) fn place_grid(
        &mut self,
        set: &PlannedSet<'a>,
        row: &PlannedRow<'a>,
        bar: usize,
        ruler: &Ruler,
        dealer: Option<&mut CellPlacer<'_>>,
        plain: &CellPlacer<'_>,
        diagnostics: &mut Diagnostics,
    ) -> Option<PlacedCells> {
        let mut quiet = Diagnostics::default();
        match (&row.kind, dealer) {
            (RowKind::Hits(_, raw), Some(dealer)) => {
                let raw = raw.bars.get(bar)?;
                let lots = self.lots(set, row, bar, raw, ruler, diagnostics);
                let heard = if raw.same.is_some() { &mut quiet } else { diagnostics };
                Some(self.dealt(raw, lots, |group, lot, dealt| {
                    dealer.group(&group.cells, lot, group.span, dealt, heard);
                }))
            }
            (RowKind::Sticks(Limb::Hands, raw), _) if set.rhythm == Rhythm::Sticks => {
                let raw = raw.bars.get(bar)?;
                let lots = self.lots(set, row, bar, raw, ruler, diagnostics);
                let heard = if raw.same.is_some() { &mut quiet } else { diagnostics };
                Some(self.dealt(raw, lots, |group, lot, dealt| {
                    plain.stick_group(&group.cells, lot, group.span, dealt, heard);
                }))
            }
            _ => None,
        }
    }

    fn dealt<T>(
        &self,
        raw: &RawBar<'_, T>,
        lots: Vec<Extent>,
        mut group: impl FnMut(&T, Extent, &mut PlacedCells),
    ) -> PlacedCells {
        let mut dealt = PlacedCells::default();
        let Some(draft) = self.drafts.last() else { return dealt };
        for (own, lot) in raw.groups.iter().zip(lots) {
            if lot.end > draft.end() {
                break;
            }
            let lot = Extent { start: lot.start - draft.offset, end: lot.end - draft.offset };
            group(own, lot, &mut dealt);
        }
        dealt.join_fragments();
        dealt.trim(draft.length);
        dealt
    }

    /// The stretches of the groups of a bar; a fault where they do not fill it.
    fn lots<T: Spreads>(
        &mut self,
        set: &PlannedSet<'a>,
        row: &PlannedRow<'a>,
        bar: usize,
        raw: &RawBar<'_, T>,
        ruler: &Ruler,
        diagnostics: &mut Diagnostics,
    ) -> Vec<Extent> {
        let place = self.place(row.name, set.first + bar);
        let Some(draft) = self.drafts.last_mut() else { return Vec::new() };
        let lots = ruler.lay(raw.groups.iter().map(|g| g.spread()), draft.offset);
        let Some(last) = lots.last() else { return lots };
        if raw.damaged {
            draft.broken = true;
        }
        if last.end == draft.end() || row.damaged || raw.damaged {
            return lots;
        }
        draft.broken = true;
        if let Some(Same { again, span }) = raw.same {
            let fits_as_before = set.first + bar > 0
                && self
                    .drafts
                    .len()
                    .checked_sub(1 + usize::from(again.bars))
                    .and_then(|before| self.drafts.get(before))
                    .zip(self.drafts.last())
                    .is_some_and(|(before, now)| {
                        before.meter == now.meter && before.length == now.length
                    });
            // The fault was reported with the bar that is repeated.
            if !fits_as_before {
                let bar = meter_word(&set.setup.meter);
                diagnostics
                    .error(span, format!("{place}: the bar before does not fill this bar of {bar}"))
                    .mend("write the bar out");
            }
            return lots;
        }
        let meter = &set.setup.meter;
        let misfit = Misfit { place, meter, ruler, draft, raw, lots: &lots };
        misfit.report(diagnostics);
        lots
    }
}
