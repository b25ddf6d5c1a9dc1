//! Count first: syllables are the rhythm, and the cells of every other row are placed on them.

use crate::interpret::bar_draft::BarExtent;
use crate::interpret::bars::{RawBar, RawRow, Same};
use crate::interpret::codes;
use crate::interpret::counting::{CountPlace, CountReading, Counter, Slot};
use crate::interpret::divisions::DividedSpan;
use crate::interpret::misfit::meter_word;
use crate::interpret::place::{Act, CellPlacer, Event, PlacedCells};
use crate::interpret::rows::{PlannedRow, PlannedSet, Rhythm};
use crate::interpret::ruler::Extent;
use crate::score::Syllable;
use crate::score::Time;
use crate::source::say;
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{Cell, CellGroup, CellKind, StickKind};
use std::sync::Arc;

/// A bar of a count row.
#[derive(Clone, Debug)]
pub(crate) struct CountedBar {
    pub(crate) slots: Vec<Slot>,
    pub(crate) extent: BarExtent,
    pub(crate) broken: bool,
    /// It was written `%`.
    same: bool,
    counter: Arc<Counter>,
}

impl CountedBar {
    /// Words in brackets, which are printed as written.
    pub(crate) fn written(&self) -> Vec<Syllable> {
        let words = self.slots.iter().filter_map(|s| Some((s.at, s.text.clone()?)));
        words
            .map(|(at, text)| Syllable { at: at - self.extent.offset, text, sounded: false })
            .collect()
    }

    /// Times of the syllables from the start of the bar.
    pub(crate) fn times(&self) -> Vec<Time> {
        self.slots.iter().map(|s| s.at - self.extent.offset).collect()
    }

    fn slot_extent(&self, slot: &Slot) -> Extent {
        Extent { start: slot.at - self.extent.offset, end: slot.end - self.extent.offset }
    }

    /// The beats that are counted in, with the splits of their syllables.
    fn stretches(&self, mut splits: Vec<(usize, DividedSpan)>) -> Vec<DividedSpan> {
        let mut stretches = Vec::new();
        for slots in self.slots.chunk_by(|a, b| a.beat == b.beat) {
            let Some(beat) = slots.first().and_then(|s| self.counter.beats().get(s.beat)) else {
                continue;
            };
            let here = splits.partition_point(|(beat, _)| *beat <= slots[0].beat);
            let inner = splits.drain(..here).map(|(_, split)| split).collect();
            stretches.push(DividedSpan {
                start: beat.start - self.extent.offset,
                length: beat.length,
                inner,
                across: None,
            });
        }
        stretches
    }
}

/// Reads the count row of a set, bar by bar. Nothing where the set has none.
pub(crate) fn read_counts(
    set: &PlannedSet<'_>,
    counter: &Arc<Counter>,
    bars_in_block: usize,
    pickup: Option<Time>,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<CountedBar>> {
    if set.rhythm != Rhythm::Count {
        return None;
    }
    let (row, raw) = set.rows.iter().find_map(|r| Some((r, r.kind.counts()?)))?;
    let whole = set.setup.meter.length();
    let meter = meter_word(&set.setup.meter);
    let mut bars = Vec::with_capacity(raw.bars.len());
    let mut picked_up = set.first > 0;
    for (index, bar) in raw.bars.iter().enumerate() {
        let number = set.first + index;
        let place = RowBar { row: row.name, bar: (bars_in_block > 1).then_some(number + 1) };
        let mut unreported = Diagnostics::default();
        let reported = if bar.same.is_some() { &mut unreported } else { &mut *diagnostics };
        let place_of_bar = CountPlace { place, meter: &meter };
        let short = pickup.filter(|_| number == 0);
        let pickup_reading = short.and_then(|pickup| {
            let from = whole - pickup;
            let mut unreported = Diagnostics::default();
            let read = counter.read(&bar.groups, from, place_of_bar, &mut unreported);
            let fits = !read.broken && read.slots.first().is_some_and(|slot| slot.at >= from);
            fits.then_some(read)
        });
        let reading = pickup_reading
            .unwrap_or_else(|| counter.read(&bar.groups, Time::ZERO, place_of_bar, reported));
        if let Some(Same { span, .. }) = bar.same
            && reading.broken
            && bars.last().is_none_or(|before: &CountedBar| !before.broken)
        {
            diagnostics
                .error(
                    span,
                    format!("{place}: the bar before cannot be counted in a bar of {meter}"),
                )
                .code(codes::SAME_BAR_COUNT_MISFIT)
                .mend("write the count out");
        }
        let last = number + 1 == bars_in_block;
        let extent = extent(&reading, whole, pickup, (number, last && picked_up));
        picked_up |= number == 0 && extent.length < whole;
        bars.push(CountedBar {
            slots: reading.slots,
            extent,
            broken: reading.broken || row.damaged,
            same: bar.same.is_some(),
            counter: counter.clone(),
        });
    }
    Some(bars)
}

/// The extent of a bar of a whole bar's length: short where its first syllable lies in the pickup,
/// or where it closes a block that began with one and leaves room for it.
fn extent(
    reading: &CountReading,
    whole: Time,
    pickup: Option<Time>,
    (number, closes_pickup): (usize, bool),
) -> BarExtent {
    let full = BarExtent { offset: Time::ZERO, length: whole };
    let Some(pickup) = pickup else { return full };
    let first = reading.slots.first().map(|s| s.at);
    if number == 0 && first.is_some_and(|at| at >= whole - pickup) {
        return BarExtent { offset: whole - pickup, length: pickup };
    }
    let last = reading.slots.last().map_or(Time::ZERO, |s| s.at);
    if number > 0 && closes_pickup && last < whole - pickup {
        return BarExtent { offset: Time::ZERO, length: whole - pickup };
    }
    full
}

/// Places every row of a counted set: for each row its bars, empty for rows that give no hits.
pub(crate) fn place_counted(
    set: &PlannedSet<'_>,
    bars: &[CountedBar],
    placers: &mut [CellPlacer<'_>],
    bars_in_block: usize,
    diagnostics: &mut Diagnostics,
) -> Vec<Vec<PlacedCells>> {
    let has_hits = set.rows.iter().any(|row| row.kind.hits().is_some());
    let silences = silent_sticks(set, bars);
    let mut rows = Vec::new();
    for (row, placer) in set.rows.iter().zip(placers) {
        let mut placed = Vec::new();
        if let Some((_, raw)) = row.kind.hits() {
            placed.resize(bars.len(), PlacedCells::default());
            for run in runs(row, raw, bars.len(), (set.first, bars_in_block)) {
                run.place(row, bars, placer, &mut placed, diagnostics);
            }
        } else if row.kind.counts().is_some() && !has_hits {
            let silent = |index: usize| silences.get(index);
            let bars = bars.iter().enumerate();
            placed.extend(bars.map(|(index, bar)| all_snare(bar, placer, silent(index))));
        }
        rows.push(placed);
    }
    rows
}

/// The cells of a row that go straight on: bar by bar where it has barlines, else all of them. The
/// set begins at bar `first` of so many bars.
fn runs<'a>(
    row: &PlannedRow<'a>,
    raw: &'a RawRow<'_, CellGroup>,
    bars: usize,
    (first, bars_in_block): (usize, usize),
) -> Vec<CellRun<'a>> {
    if !raw.has_lines {
        let place = RowBar { row: row.name, bar: None };
        let whole = raw.bars.first();
        let run =
            whole.map(|bar| CellRun { groups: &bar.groups, bars: 0..bars, place, same: None });
        return run.into_iter().collect();
    }
    let run = |(index, bar): (usize, &'a RawBar<'_, CellGroup>)| {
        let number = first + index + 1;
        let place = RowBar { row: row.name, bar: (bars_in_block > 1).then_some(number) };
        let same = bar.same.map(|same| same.span);
        CellRun { groups: &bar.groups, bars: index..index + 1, place, same }
    };
    raw.bars.iter().enumerate().take(bars).map(run).collect()
}

/// Every syllable a hit on the snare, but for those a sticking passes over.
fn all_snare(bar: &CountedBar, placer: &CellPlacer<'_>, silent: Option<&Vec<bool>>) -> PlacedCells {
    let events = bar.slots.iter().enumerate().map(|(index, slot)| {
        let extent = bar.slot_extent(slot);
        let silent = silent.and_then(|s| s.get(index)).is_some_and(|s| *s);
        let act = if silent { Act::Silence } else { Act::Hit(placer.snare_hit()) };
        Event { at: extent.start, end: extent.end, lasts: None, act, span: slot.span }
    });
    PlacedCells { events: events.collect(), stretches: bar.stretches(Vec::new()) }
}

/// Which syllables of each bar are silent because the sticking that goes with the count has a cell
/// for every syllable and `.` for these.
fn silent_sticks(set: &PlannedSet<'_>, bars: &[CountedBar]) -> Vec<Vec<bool>> {
    let sticks = set.rows.iter().find_map(|row| row.kind.hand_letters());
    let Some(raw) = sticks else { return Vec::new() };
    let cells: Vec<Vec<bool>> = raw
        .bars
        .iter()
        .map(|bar| {
            let cells = bar.groups.iter().flat_map(|g| &g.cells);
            cells.map(|cell| is_silent(&cell.kind)).collect()
        })
        .collect();
    if raw.has_lines {
        return cells
            .into_iter()
            .zip(bars)
            .map(|(cells, bar)| if cells.len() == bar.slots.len() { cells } else { Vec::new() })
            .collect();
    }
    let mut all = cells.into_iter().flatten().collect::<Vec<bool>>().into_iter();
    if all.len() != bars.iter().map(|b| b.slots.len()).sum::<usize>() {
        return Vec::new();
    }
    bars.iter().map(|bar| all.by_ref().take(bar.slots.len()).collect()).collect()
}

fn is_silent(kind: &StickKind) -> bool {
    match kind {
        StickKind::Silence => true,
        StickKind::NoLetter | StickKind::Letter { .. } | StickKind::Split(_) => false,
    }
}

/// Cells that are placed straight on over some bars.
struct CellRun<'r> {
    groups: &'r [&'r CellGroup],
    bars: std::ops::Range<usize>,
    place: RowBar<'r>,
    /// The `%` that repeats these cells; their own faults were reported where they are written.
    same: Option<Span>,
}

impl CellRun<'_> {
    fn place(
        &self,
        row: &PlannedRow<'_>,
        bars: &[CountedBar],
        placer: &mut CellPlacer<'_>,
        placed: &mut [PlacedCells],
        diagnostics: &mut Diagnostics,
    ) {
        if self.groups.is_empty() {
            return;
        }
        let mut unreported = Diagnostics::default();
        let repeated = self.same.is_some();
        let reported = if repeated { &mut unreported } else { &mut *diagnostics };
        for group in self.groups {
            if let Some(spread) = &group.spread {
                reported
                    .error(
                        spread.span,
                        format!(
                            "{}: cells cannot be spread where a `count` row sets the rhythm",
                            self.place
                        ),
                    )
                    .code(codes::COUNT_SPREAD)
                    .replace(spread.span, "", "take the spread out; each cell takes one syllable");
            }
        }
        let cells: Vec<&Cell> = self.groups.iter().flat_map(|g| &g.cells).collect();
        let mut next = cells.iter();
        for (bar, placed) in bars[self.bars.clone()].iter().zip(&mut placed[self.bars.clone()]) {
            let mut splits: Vec<(usize, DividedSpan)> = Vec::new();
            for (slot, cell) in bar.slots.iter().zip(next.by_ref().take(bar.slots.len())) {
                let extent = bar.slot_extent(slot);
                let (inner, is_split) = match &cell.kind {
                    CellKind::Split(inner) => (inner.as_slice(), true),
                    CellKind::Silence
                    | CellKind::Hold
                    | CellKind::TiedHold
                    | CellKind::Slash
                    | CellKind::Hit(_) => (std::slice::from_ref(*cell), false),
                };
                let mut one = PlacedCells::default();
                placer.group(inner, extent, cell.span, &mut one, reported);
                placed.events.append(&mut one.events);
                if is_split {
                    splits.extend(one.stretches.into_iter().map(|s| (slot.beat, s)));
                }
            }
            placed.stretches = bar.stretches(splits);
        }
        let syllables: usize = bars[self.bars.clone()].iter().map(|b| b.slots.len()).sum();
        let broken = bars[self.bars.clone()].iter().any(|b| b.broken);
        let all_repeated = repeated && bars[self.bars.clone()].iter().all(|b| b.same);
        if !broken && !row.damaged && !all_repeated {
            self.compare(&cells, syllables, diagnostics);
        }
    }

    fn compare(&self, cells: &[&Cell], syllables: usize, diagnostics: &mut Diagnostics) {
        let head = format!(
            "{}: {} for {}",
            self.place,
            say::several(cells.len(), "cell"),
            say::several(syllables, "syllable")
        );
        if cells.len() > syllables {
            let over = &cells[syllables..];
            let span = over.iter().fold(over[0].span, |all: Span, c| all.join(c.span));
            let span = self.same.unwrap_or(span);
            let what = match over.len() {
                1 => "the last one is too many".to_owned(),
                n => format!("the last {} are too many", say::number(n)),
            };
            self.report(span, format!("{head}; {what}"), diagnostics);
        } else if cells.len() < syllables {
            let Some(last) = cells.last() else { return };
            let what = match syllables - cells.len() {
                1 => "one is missing".to_owned(),
                n => format!("{} are missing", say::number(n)),
            };
            let span = self.same.unwrap_or(last.span);
            self.report(span, format!("{head}; {what}"), diagnostics);
        }
    }
    fn report(&self, span: Span, message: String, diagnostics: &mut Diagnostics) {
        let mend = "each cell takes one syllable of the `count` row; `.` is a silent one, `-` lets the hit before go on";
        diagnostics.error(span, message).code(codes::CELLS_FOR_SYLLABLES).mend(mend);
    }
}
