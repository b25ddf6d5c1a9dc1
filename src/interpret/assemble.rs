//! Blocks put together: sets to bars.

use super::bar_draft::{BarDraft, BarExtent};
use super::bar_time::BarTime;
use super::counted::{CountedBar, place_counted, read_counts};
use super::extras::{add_extras, opening};
use super::finish::{Extras, bar};
use super::grid::GridBar;
use super::letters::LetterMeaning;
use super::misfit::close;
use super::place::{CellPlacer, PlacedCells};
use super::players::Share;
use super::rows::{PlannedRow, PlannedSet, Rhythm, RowKind};
use super::ruler::Ruler;
use super::shapes::BarShape;
use super::surroundings::Surroundings;
use super::sustain::{RowInBar, Sustain};
use super::written::CrossedStrike;
use super::{beams, codes, form, pickup, two_voices, unmetered, voices};
use crate::score::kit::Limb;
use crate::score::settings::{CountDisplay, Rests};
use crate::score::{Bar, Closing, Kit, RowWord, Time};
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree;
use std::collections::BTreeMap;

/// Most hits of one block, so that no short text makes an endless score.
const MOST_EVENTS: usize = 400_000;

/// The bars of one player's sets, whose rows so many drummers share, and what rows of a limb take from the
/// other.
pub(super) fn bars(
    share: &Share<'_>,
    sets: &[PlannedSet<'_>],
    drummers: u32,
    diagnostics: &mut Diagnostics,
) -> (Vec<Bar>, Vec<CrossedStrike>) {
    let mut assembly = Assembly {
        block: share.block,
        around: &share.around,
        total: sets.last().map_or(0, |set| set.first + set.bars),
        drafts: Vec::new(),
        sustains: BTreeMap::new(),
        pending_repeat: None,
        events: 0,
        pickup: None,
        slots: Vec::new(),
        hands: voices::HANDS * drummers as usize,
    };
    for set in sets {
        assembly.set(set, diagnostics);
    }
    assembly.end(sets, diagnostics);
    form::check_ties(&assembly.drafts, &share.around.kit, diagnostics);
    assembly.finish(sets, diagnostics)
}

/// A block whose bars are being made.
struct Assembly<'a, 'c> {
    block: &'a tree::Block,
    around: &'c Surroundings,
    /// Bars of the whole block.
    total: usize,
    drafts: Vec<BarDraft>,
    sustains: BTreeMap<String, Sustain>,
    pending_repeat: Option<Span>,
    events: usize,
    /// The length of the pickup the block does start with.
    pickup: Option<Time>,
    /// Times of the syllables of counted bars.
    slots: Vec<Vec<Time>>,
    /// How many hands there are.
    hands: usize,
}

impl<'a> Assembly<'a, '_> {
    fn place<'p>(&self, row: &'p str, bar: usize) -> RowBar<'p> {
        RowBar { row, bar: (self.total > 1).then_some(bar + 1) }
    }

    fn set(&mut self, set: &PlannedSet<'a>, diagnostics: &mut Diagnostics) {
        let span = set.rows.first().map_or(set.span, |row| row.span);
        if set.silent {
            self.silent_set(set, diagnostics);
            return;
        }
        if set.rhythm == Rhythm::None {
            if !set.lost {
                diagnostics
                    .error(span, "no row here gives any notes")
                    .code(codes::NOTES_MISSING)
                    .mend("write a `play` row, a row for each instrument, a `count` row or a `stick` row");
            }
            return;
        }
        if set.bars == 0 && !set.lost {
            diagnostics
                .error(span, "only barlines stand here")
                .code(codes::BARS_MISSING)
                .mend("write the notes of at least one bar");
        }
        pickup::check(set, self.block.span, diagnostics);
        if !unmetered::check(set, diagnostics) {
            return;
        }
        beams::check(set, diagnostics);
        self.end_rows(set);
        let time = BarTime::of_set(set, &self.around.systems);
        let pickup = pickup::wanted(set, self.pickup.is_some());
        match read_counts(set, &time.counter, self.total, pickup, diagnostics) {
            Some(counted) => self.counted_set(set, &counted, &time, diagnostics),
            None => self.grid_set(set, time, diagnostics),
        }
    }

    /// Bars in which the player is silent.
    fn silent_set(&mut self, set: &PlannedSet<'a>, diagnostics: &mut Diagnostics) {
        self.end_rows(set);
        let time = BarTime::of_set(set, &self.around.systems);
        let length = set.setup.meter.length();
        for bar in 0..set.bars {
            let pickup = pickup::wanted(set, false).filter(|_| bar == 0);
            let extent = match pickup {
                Some(pickup) => BarExtent { offset: length - pickup, length: pickup },
                None => BarExtent { offset: Time::ZERO, length },
            };
            let draft = self.draft(set, bar, extent, &time, diagnostics);
            self.slots.push(Vec::new());
            self.drafts.push(draft);
        }
    }

    /// Rows that the set has no more are over.
    fn end_rows(&mut self, set: &PlannedSet<'a>) {
        self.sustains.retain(|name, sustain| {
            let goes_on = set.rows.iter().any(|row| row.name == name);
            if !goes_on {
                sustain.ring(&mut self.drafts);
            }
            goes_on
        });
    }

    /// Bars whose rhythm is that of a `count` row.
    fn counted_set(
        &mut self,
        set: &PlannedSet<'a>,
        counted: &[CountedBar],
        time: &BarTime,
        diagnostics: &mut Diagnostics,
    ) {
        let whole = BarExtent { offset: Time::ZERO, length: set.setup.meter.length() };
        let mut placers = placers(set, &self.around.kit);
        let mut rows = place_counted(set, counted, &mut placers, self.total, diagnostics);
        for bar in 0..set.bars {
            let own = counted.get(bar);
            let extent = own.map_or(whole, |own| own.extent);
            let mut draft = self.draft(set, bar, extent, time, diagnostics);
            if let Some(own) = own {
                draft.written = own.written();
                draft.broken |= own.broken;
            }
            self.slots.push(own.map(CountedBar::times).unwrap_or_default());
            self.drafts.push(draft);
            for (row, bars) in set.rows.iter().zip(&mut rows) {
                if let Some(placed) = bars.get_mut(bar).map(std::mem::take) {
                    self.take(set, row, bar, placed, diagnostics);
                }
            }
        }
    }

    /// Bars whose groups are beats.
    fn grid_set(&mut self, set: &PlannedSet<'a>, mut time: BarTime, diagnostics: &mut Diagnostics) {
        let ruler = Ruler::new(&set.setup.meter);
        let mut placers = placers(set, &self.around.kit);
        for bar in 0..set.bars {
            time = time.of_next(set, bar, &self.around.systems);
            let (ruler, meter) = (&ruler, &*time.meter);
            let grid = GridBar { set, bar, ruler, meter, bars_in_block: self.total };
            let begun = self.pickup.is_some();
            let extent = grid.extent(pickup::wanted(set, begun), begun);
            let draft = self.draft(set, bar, extent, &time, diagnostics);
            self.slots.push(Vec::new());
            self.drafts.push(draft);
            for (row, placer) in set.rows.iter().zip(&mut placers) {
                if self.events > MOST_EVENTS {
                    break;
                }
                if let Some(placed) = grid.place(row, placer, &mut self.drafts, diagnostics) {
                    self.take(set, row, bar, placed, diagnostics);
                }
            }
        }
    }

    /// Gives the events of a row's bar to its sustain.
    fn take(
        &mut self,
        set: &PlannedSet<'a>,
        row: &PlannedRow<'a>,
        bar: usize,
        placed: PlacedCells,
        diagnostics: &mut Diagnostics,
    ) {
        if self.events > MOST_EVENTS {
            return;
        }
        self.events += placed.events.len();
        if self.events > MOST_EVENTS {
            diagnostics
                .error(row.span, format!("this block has more than {MOST_EVENTS} cells"))
                .code(codes::BLOCK_TOO_LONG)
                .mend("break it into several blocks");
            return;
        }
        let place = self.place(row.name, set.first + bar);
        let sustain = self.sustains.entry(row.name.to_owned()).or_default();
        if bar == 0 && placed.begins_silent() {
            sustain.ring(&mut self.drafts);
        }
        if placed.events.is_empty() {
            sustain.stop(place, diagnostics);
            return;
        }
        let taking = RowInBar { place, full_rests: set.setup.rests == Rests::Full };
        sustain.take(&mut self.drafts, row.name, placed, taking, diagnostics);
    }

    /// The block is over: nothing may still wait for a bar to come.
    fn end(&mut self, sets: &[PlannedSet<'a>], diagnostics: &mut Diagnostics) {
        for mut sustain in std::mem::take(&mut self.sustains).into_values() {
            sustain.ring(&mut self.drafts);
        }
        if let Some(span) = self.pending_repeat {
            diagnostics
                .error(span, "a repeat starts here, but no bar follows")
                .code(codes::REPEAT_EMPTY)
                .mend("take the sign out, or write the bars to be repeated");
        }
        if self.pickup.is_none() {
            pickup::check_used(sets, self.drafts.first(), self.block.span, diagnostics);
        }
    }

    /// An empty bar with its barlines.
    fn draft(
        &mut self,
        set: &PlannedSet<'a>,
        bar: usize,
        extent: BarExtent,
        time: &BarTime,
        diagnostics: &mut Diagnostics,
    ) -> BarDraft {
        let BarExtent { offset, length } = extent;
        if set.first + bar == 0 && length < time.meter.length() {
            self.pickup = Some(length);
        }
        let mut closing = Closing::Single;
        let mut repeat_start = bar == 0 && self.pending_repeat.take().is_some();
        let mut sounding: Vec<BarShape> = Vec::new();
        for (shape, row) in set.shapes().zip(&set.rows) {
            let Some(own) = shape.bar(bar) else { continue };
            repeat_start |= own.starts_repeat.is_some();
            if let Some((sign, at)) = own.closing {
                close(&mut closing, sign, at, diagnostics);
            }
            if gives_hits(&row.kind, set.rhythm) && !own.empty {
                sounding.push(own);
            }
        }
        if bar + 1 == set.bars {
            self.pending_repeat = set.opens_next;
        }
        let again = sounding.first().and_then(|first| first.again);
        let span = sounding.iter().map(|own| own.span).reduce(Span::join);
        BarDraft {
            meter: time.meter.clone(),
            counter: time.counter.clone(),
            beams: time.beams.clone(),
            offset,
            length,
            rows: Vec::new(),
            closing,
            repeat_start,
            again: again.filter(|_| sounding.iter().all(|own| own.again == again)),
            full_rests: set.setup.rests == Rests::Full,
            written: Vec::new(),
            broken: set.lost || set.rows.iter().any(|r| r.damaged),
            span: span.unwrap_or(set.span),
        }
    }

    /// Bars of voices, with everything under and over them; and what rows of a limb take from the
    /// other.
    fn finish(
        mut self,
        sets: &[PlannedSet<'a>],
        diagnostics: &mut Diagnostics,
    ) -> (Vec<Bar>, Vec<CrossedStrike>) {
        let named = |limb: Limb| {
            sets.iter()
                .flat_map(|s| &s.rows)
                .filter_map(|row| row.kind.hits())
                .any(|(meaning, _)| meaning == LetterMeaning::Limb(limb))
        };
        let asked = sets.first().map(|s| s.setup.voices).unwrap_or_default();
        let both = named(Limb::Hands) && named(Limb::Feet);
        let apart =
            two_voices::apart(&self.drafts, self.block.word.value, asked, both, &self.around.kit);
        let mut merged =
            voices::merge(&self.drafts, &apart, (&self.around.kit, self.hands), diagnostics);
        let crossed = match named(Limb::Hands) || named(Limb::Feet) {
            true => voices::crossed(&merged, &self.around.kit),
            false => Vec::new(),
        };
        let mut extras: Vec<Extras> = self.drafts.iter().map(|_| Extras::default()).collect();
        for (index, set) in sets.iter().enumerate() {
            let range = set.first..(set.first + set.bars).min(self.drafts.len());
            let Some(drafts) = self.drafts.get(range.clone()) else { continue };
            let opening = opening(set, index.checked_sub(1).and_then(|i| sets.get(i)));
            if let Some(first) = extras.get_mut(set.first) {
                first.marks.extend(opening);
            }
            let slots = (set.rhythm == Rhythm::Count).then(|| &self.slots[range.clone()]);
            if set.rhythm == Rhythm::None && !set.silent {
                continue;
            }
            let (merged, extras) = (&mut merged[range.clone()], &mut extras[range]);
            add_extras(set, (drafts, slots), self.total, merged, extras, diagnostics);
        }
        let show = sets.first().map_or(CountDisplay::Played, |s| s.setup.counts);
        let drafts = std::mem::take(&mut self.drafts);
        let drafted = drafts.into_iter().zip(merged).zip(extras);
        let bars = drafted.map(|((draft, voices), extras)| bar(draft, voices, extras, show));
        (bars.collect(), crossed)
    }
}

/// Whether a row gives the hits of its set.
fn gives_hits(kind: &RowKind<'_>, rhythm: Rhythm) -> bool {
    match kind {
        RowKind::Hits(..) | RowKind::Count(_) => true,
        RowKind::Sticks(Limb::Hands, _) => rhythm == Rhythm::Sticks,
        RowKind::Sticks(Limb::Feet, _) | RowKind::Words(..) => false,
    }
}

/// What places the cells of each row; letters and syllables are hits on the snare.
fn placers<'p>(set: &PlannedSet<'p>, kit: &'p Kit) -> Vec<CellPlacer<'p>> {
    let placer = |row: &PlannedRow<'p>| match &row.kind {
        RowKind::Hits(meaning, _) => CellPlacer::new(kit, *meaning, row.name),
        RowKind::Count(_) | RowKind::Sticks(..) | RowKind::Words(..) => {
            CellPlacer::new(kit, LetterMeaning::Play, RowWord::Count.as_str())
        }
    };
    set.rows.iter().map(placer).collect()
}
