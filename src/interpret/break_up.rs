//! Rows that run over several bars without a barline.

use crate::interpret::bars::{Groups, RawBar, RawRow, Spreads};
use crate::interpret::codes;
use crate::interpret::misfit::{beat_word, meter_word, with_group_hint};
use crate::interpret::ruler::{Extent, Ruler};
use crate::interpret::setup::Setup;
use crate::score::{Meter, Time};
use crate::source::say;
use crate::source::{Diagnostics, Span};

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
    if !raw.is_one_group_run() || !setup.meter.is_measured() {
        return;
    }
    let Some(run) = raw.bars.first() else { return };
    let length = setup.meter.length();
    let pickup = setup.pickup.filter(|(p, _)| first == 0 && *p < length).map(|(p, _)| length - p);
    for offset in pickup.into_iter().chain([Time::ZERO]) {
        let extents = ruler.lay(run.spreads(), offset);
        let Some(cuts) = whole_bars(&extents, length) else { continue };
        let end = extents.last().map_or(offset, |extent| extent.end);
        let beats = ruler.beats_before(end) - ruler.beats_before(offset);
        let beats = say::beats(beats, beat_word(&setup.meter));
        let message = format!("`{row}`: {beats} in a bar of {}", meter_word(&setup.meter));
        let at = run.groups[cuts[0]].span();
        let fault = diagnostics.error(at, message).code(codes::BARLINES_MISSING);
        let mend = mend(&cuts, run.groups.len(), offset == Time::ZERO, &setup.meter);
        match cuts.len() {
            1 => fault.replace(Span::new(at.start(), at.start()), "| ", mend),
            _ => fault.mend(mend),
        }
        let closing = run.closing.clone();
        let mut bars = cut(&run.groups, &cuts);
        if let Some(last) = bars.last_mut() {
            last.closing = closing;
        }
        raw.bars = bars;
        return;
    }
}

/// Where the barlines go. `whole` says that the first bar is no pickup.
fn mend(cuts: &[usize], groups: usize, whole: bool, meter: &Meter) -> String {
    let (first, bars) = (cuts[0], cuts.len() + 1);
    let even =
        whole && cuts.windows(2).all(|pair| pair[1] - pair[0] == first) && groups == first * bars;
    let ordinal = say::ordinal(first + 1);
    let number = say::number(bars);
    let mend = match (bars, even) {
        (2, _) => format!("these are two bars: put a `|` before the {ordinal} group"),
        (_, true) => {
            let every = say::number(first);
            format!("these are {number} bars: put a `|` after every {every} groups")
        }
        (_, false) => {
            format!("these are {number} bars: put the first `|` before the {ordinal} group")
        }
    };
    with_group_hint(mend, meter)
}

/// The bars that begin at the first group and at each cut.
fn cut<'a, T: Spreads>(groups: &Groups<'a, T>, cuts: &[usize]) -> Vec<RawBar<'a, T>> {
    let starts = std::iter::once(0).chain(cuts.iter().copied());
    let ends = cuts.iter().copied().chain([groups.len()]);
    let bar = |(start, end): (usize, usize)| {
        let own = &groups[start..end];
        let span = own.iter().fold(own[0].span(), |all, group| all.join(group.span()));
        RawBar { groups: own.into(), ..RawBar::empty(None, span) }
    };
    starts.zip(ends).map(bar).collect()
}

/// The groups that begin the second and later bars, where the groups fill several whole bars.
fn whole_bars(extents: &[Extent], length: Time) -> Option<Vec<usize>> {
    let end = extents.last()?.end;
    let bars = end.ratio(length);
    if !bars.is_integer() || bars.to_integer() < 2 {
        return None;
    }
    let cuts: Vec<usize> = (1..extents.len())
        .filter(|i| extents[*i].start.is_multiple_of(length) && extents[*i].start > Time::ZERO)
        .collect();
    let wanted = usize::try_from(bars.to_integer() - 1).ok()?;
    // The extents count from the start of the meter, so a pickup's own start is no cut.
    (cuts.len() == wanted).then_some(cuts)
}
