//! Rows that run over several bars without a barline.

use crate::interpret::bars::{RawBar, RawRow, RowGroup};
use crate::interpret::misfit::{beat_word, meter_word, with_group_hint};
use crate::interpret::ruler::{Extent, Ruler};
use crate::interpret::setup::Setup;
use crate::score::Time;
use crate::source::Diagnostics;
use crate::source::say;
use crate::syntax::tree::{CellGroup, Spread, StickGroup};

/// A group that may be spread over several beats.
pub(crate) trait Spreads: RowGroup {
    fn spread(&self) -> Option<Spread>;
}

impl Spreads for CellGroup {
    fn spread(&self) -> Option<Spread> {
        self.spread.as_ref().map(|s| s.value)
    }
}

impl Spreads for StickGroup {
    fn spread(&self) -> Option<Spread> {
        None
    }
}

/// Reports a row that holds exactly several whole bars without a barline, says where the barlines
/// go, and cuts it there.
pub(crate) fn break_up<T: Spreads>(
    raw: &mut RawRow<'_, T>,
    row: &str,
    ruler: &Ruler,
    setup: &Setup,
    first: usize,
    diagnostics: &mut Diagnostics,
) {
    if !raw.is_one_group_run() {
        return;
    }
    let Some(run) = raw.bars.first() else { return };
    let length = setup.meter.length();
    let pickup = setup.pickup.filter(|(p, _)| first == 0 && *p < length).map(|(p, _)| length - p);
    for offset in pickup.into_iter().chain([Time::ZERO]) {
        let lots = ruler.lay(run.groups.iter().map(|g| g.spread()), offset);
        let Some(cuts) = whole_bars(&lots, length) else { continue };
        let ordinals: Vec<String> = cuts.iter().take(3).map(|c| say::ordinal(c + 1)).collect();
        let every = cuts[0];
        let even = offset == Time::ZERO
            && (1..cuts.len()).all(|i| cuts[i] - cuts[i - 1] == every)
            && run.groups.len() == every * (cuts.len() + 1);
        let mend = match (cuts.len(), even) {
            (1, _) => format!("these are two bars: put a `|` before the {} group", ordinals[0]),
            (n, true) => format!(
                "these are {} bars: put a `|` after every {} groups",
                say::number(n + 1),
                say::number(every)
            ),
            (n, false) => format!(
                "these are {} bars: put the first `|` before the {} group",
                say::number(n + 1),
                ordinals[0]
            ),
        };
        let thing = beat_word(&setup.meter);
        let beats =
            ruler.beats_before(lots.last().map_or(offset, |l| l.end)) - ruler.beats_before(offset);
        diagnostics
            .error(
                run.groups[cuts[0]].span(),
                format!(
                    "`{row}`: {} in a bar of {}",
                    say::beats(beats, thing),
                    meter_word(&setup.meter)
                ),
            )
            .mend(with_group_hint(mend, &setup.meter));
        let mut groups = run.groups.to_vec();
        let mut bars = Vec::new();
        let closing = run.closing.clone();
        for at in cuts.iter().rev() {
            bars.push(groups.split_off(*at));
        }
        bars.push(groups);
        bars.reverse();
        raw.bars = bars
            .into_iter()
            .map(|groups| {
                let span = groups.iter().fold(groups[0].span(), |all, g| all.join(g.span()));
                RawBar {
                    groups: groups.into(),
                    same: None,
                    closing: None,
                    damaged: false,
                    starts_repeat: None,
                    span,
                }
            })
            .collect();
        if let Some(last) = raw.bars.last_mut() {
            last.closing = closing;
        }
        return;
    }
}

/// The groups that begin the second and later bars, where the groups fill several whole bars.
fn whole_bars(lots: &[Extent], length: Time) -> Option<Vec<usize>> {
    let end = lots.last()?.end;
    let bars = end.ratio(length);
    if !bars.is_integer() || bars.to_integer() < 2 {
        return None;
    }
    let cuts: Vec<usize> = (1..lots.len())
        .filter(|i| lots[*i].start.is_multiple_of(length) && lots[*i].start > Time::ZERO)
        .collect();
    let wanted = usize::try_from(bars.to_integer() - 1).ok()?;
    // The lots count from the start of the meter, so a pickup's own start is no cut.
    (cuts.len() == wanted).then_some(cuts)
}
