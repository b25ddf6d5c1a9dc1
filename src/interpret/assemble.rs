//! Blocks put together: sets to bars.

use super::counted::{CountedBar, deal_counted, read_counts};
use super::counting::Counter;
use super::deal::{Dealer, Dealt, Hearing};
use super::extras::{add_extras, opening};
use super::finish::{Extras, bar};
use super::flow::{Draft, Flow, Taking};
use super::keys::{self, Scope};
use super::misfit::{close, meter_word};
use super::reading::{SetOfRows, StickRequest, Written};
use super::request::Surroundings;
use super::rows::{Before, PlannedRow, PlannedSet, Rhythm, RowKind};
use super::ruler::Ruler;
use super::setup::Setup;
use super::{same_bars, voices};
use crate::score::kit::Limb;
use crate::score::settings::{CountDisplay, Header, Rests};
use crate::score::{Bar, Block, BlockWord, Closing, RowWord, Time};
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Most hits of one block, so that no short text makes an endless score.
const MOST_EVENTS: usize = 400_000;

/// Reads one block of music as it is written.
///
/// A rule for stickings in the header holds for blocks with a number; a groove has to ask for
/// itself.
pub(super) fn block(
    block: &tree::Block,
    around: &Surroundings,
    diagnostics: &mut Diagnostics,
) -> Written {
    let sets = planned(block, around, diagnostics);
    let settings = sets.first().map_or(&*around.setup, |s| &s.setup).block_settings();
    let mut assembly = Assembly {
        block,
        around,
        total: sets.last().map_or(0, |set| set.first + set.bars),
        drafts: Vec::new(),
        flows: BTreeMap::new(),
        pending_repeat: None,
        events: 0,
        pickup: None,
        slots: Vec::new(),
    };
    for set in &sets {
        assembly.set(set, diagnostics);
    }
    assembly.end(&sets, diagnostics);
    let mut bars = assembly.finish(&sets, diagnostics);
    let sticking = stick_request(block, &sets, bars.len());
    // Letters that are made come later; a sign is not to hide that they differ.
    if sticking.is_none() {
        same_bars::keep_true_repeats(&mut bars);
    }
    let music = Block {
        word: block.word.value,
        name: block.name.as_ref().map(|n| n.value.clone()),
        title: block.title.as_ref().map(|t| t.value.clone()),
        number: None,
        chapter: None,
        settings,
        kit: around.kit.clone(),
        bars,
        span: block.span,
    };
    let own = sets.into_iter().next().map(|set| set.keys).unwrap_or_default();
    let keys = own.into_iter().filter(|line| line.name() != "stick").collect();
    Written { block: music, keys, sticking }
}

/// The sets of a block, cut into bars.
fn planned<'a>(
    block: &'a tree::Block,
    around: &Surroundings,
    diagnostics: &mut Diagnostics,
) -> Vec<PlannedSet<'a>> {
    let mut setup = Setup::clone(&around.setup);
    let mut sets: Vec<PlannedSet<'_>> = Vec::new();
    let mut before = Before::default();
    let mut first = 0;
    for (index, set) in block.sets.iter().enumerate() {
        let scope = if index == 0 { Scope::Block } else { Scope::LaterSet };
        let keys = keys::read(&set.settings, scope, &around.systems, diagnostics);
        keys::apply(&keys, &mut Header::default(), &mut setup);
        let planned = PlannedSet::new(
            set,
            (setup.clone(), keys),
            &around.kit,
            first,
            block.span,
            &mut before,
            diagnostics,
        );
        first += planned.bars;
        sets.push(planned);
    }
    sets
}

/// The letters that are to be made for a block.
fn stick_request(
    block: &tree::Block,
    sets: &[PlannedSet<'_>],
    bars: usize,
) -> Option<StickRequest> {
    let first = sets.first()?;
    let asked_here = first.has("stick");
    let rule = first.setup.stick.filter(|_| asked_here || block.word.value != BlockWord::Groove)?;
    let rows = |(set, tree): (&PlannedSet<'_>, &tree::RowSet)| {
        let asked = tree.settings.iter().find(|s| keys::is(s, "stick"));
        SetOfRows {
            bars: set.first..(set.first + set.bars).min(bars),
            written: set.rows.iter().any(|r| matches!(r.kind, RowKind::Sticks(Limb::Hands, _))),
            asked: asked.map(|s| s.key.span.join(s.value.span)),
            end: tree.rows.iter().map(|r| r.span.end).max(),
        }
    };
    let sets = sets.iter().zip(&block.sets).map(rows).collect();
    Some(StickRequest { rule, asked_here, sets })
}

/// A block whose bars are being made.
pub(crate) struct Assembly<'a, 'c> {
    block: &'a tree::Block,
    around: &'c Surroundings,
    /// Bars of the whole block.
    pub(crate) total: usize,
    pub(crate) drafts: Vec<Draft>,
    flows: BTreeMap<String, Flow>,
    pending_repeat: Option<Span>,
    events: usize,
    /// The length of the pickup the block does start with.
    pub(crate) pickup: Option<Time>,
    /// Times of the syllables of counted bars.
    slots: Vec<Vec<Time>>,
}

impl<'a> Assembly<'a, '_> {
    pub(crate) fn place<'p>(&self, row: &'p str, bar: usize) -> RowBar<'p> {
        RowBar { row, bar: (self.total > 1).then_some(bar + 1) }
    }

    fn set(&mut self, set: &PlannedSet<'a>, diagnostics: &mut Diagnostics) {
        if set.rhythm == Rhythm::None {
            if set.lost {
                return;
            }
            diagnostics
                .error(set.rows.first().map_or(set.span, |r| r.span), "no row here gives any notes")
                .mend(
                    "write a `play` row, a row for each instrument, a `count` row or a `stick` row",
                );
            return;
        }
        if set.bars == 0 && !set.lost {
            let span = set.rows.first().map_or(set.span, |row| row.span);
            diagnostics
                .error(span, "only barlines stand here")
                .mend("write the notes of at least one bar");
        }
        let meter = &set.setup.meter;
        let ruler = Ruler::new(meter);
        let system = self.around.systems.get_or_numbers(set.setup.counting.as_deref());
        let counter = Arc::new(Counter::new(system, meter, set.setup.compound, set.setup.odd));
        self.check_pickup(set, diagnostics);
        let names: Vec<&str> = set.rows.iter().map(|r| r.name).collect();
        let gone: Vec<String> =
            self.flows.keys().filter(|n| !names.contains(&n.as_str())).cloned().collect();
        for name in gone {
            if let Some(mut flow) = self.flows.remove(&name) {
                flow.stop(RowBar { row: &name, bar: None }, diagnostics);
            }
        }
        let counted = read_counts(set, &counter, self.total, self.pickup_wanted(set), diagnostics);
        let mut dealers: Vec<Option<Dealer<'_>>> = set
            .rows
            .iter()
            .map(|row| match &row.kind {
                RowKind::Hits(hearing, _) => {
                    Some(Dealer::new(&self.around.kit, *hearing, row.name))
                }
                _ => None,
            })
            .collect();
        let plain = Dealer::new(&self.around.kit, Hearing::Play, RowWord::Count.as_str());
        let mut dealt_rows: Vec<Vec<Dealt>> = Vec::new();
        if let Some(counted) = &counted {
            dealt_rows = deal_counted(set, counted, &mut dealers, &plain, self.total, diagnostics);
        }
        for bar in 0..set.bars {
            let index = set.first + bar;
            let (offset, length) = match &counted {
                Some(counted) => {
                    counted.get(bar).map_or((Time::ZERO, meter.length()), |c| (c.offset, c.length))
                }
                None => self.extent(set, bar, &ruler),
            };
            if index == 0 && length < meter.length() {
                self.pickup = Some(length);
            }
            let mut draft = self.draft(set, bar, offset, length, &counter, diagnostics);
            if let Some(counted) = counted.as_ref().and_then(|c| c.get(bar)) {
                draft.written = counted.written();
                draft.broken |= counted.broken;
            }
            self.slots.push(
                counted
                    .as_ref()
                    .and_then(|c| c.get(bar))
                    .map(CountedBar::times)
                    .unwrap_or_default(),
            );
            self.drafts.push(draft);
            if self.events > MOST_EVENTS {
                continue;
            }
            for (row_index, row) in set.rows.iter().enumerate() {
                let dealt = match &counted {
                    Some(_) => dealt_rows
                        .get_mut(row_index)
                        .and_then(|bars| bars.get_mut(bar))
                        .map(std::mem::take),
                    None => self.deal_grid(
                        set,
                        row,
                        bar,
                        &ruler,
                        dealers[row_index].as_mut(),
                        &plain,
                        diagnostics,
                    ),
                };
                let Some(dealt) = dealt else { continue };
                self.take(set, row, index, dealt, diagnostics);
            }
        }
    }

    /// Gives the events of a row's bar to its flow.
    fn take(
        &mut self,
        set: &PlannedSet<'a>,
        row: &PlannedRow<'a>,
        index: usize,
        dealt: Dealt,
        diagnostics: &mut Diagnostics,
    ) {
        self.events += dealt.events.len();
        if self.events > MOST_EVENTS {
            diagnostics
                .error(row.span, format!("this block has more than {MOST_EVENTS} cells"))
                .mend("break it into several blocks");
            return;
        }
        let place = self.place(row.name, index);
        let flow = self.flows.entry(row.name.to_owned()).or_default();
        if dealt.events.is_empty() {
            flow.stop(place, diagnostics);
            return;
        }
        let taking = Taking { place, full_rests: set.setup.rests == Rests::Full };
        flow.take(&mut self.drafts, row.name, dealt, taking, diagnostics);
    }

    /// The block is over: nothing may still wait for a bar to come.
    fn end(&mut self, sets: &[PlannedSet<'a>], diagnostics: &mut Diagnostics) {
        for (name, mut flow) in std::mem::take(&mut self.flows) {
            flow.stop(RowBar { row: &name, bar: None }, diagnostics);
        }
        if let Some(span) = self.pending_repeat {
            diagnostics
                .error(span, "a repeat starts here, but no bar follows")
                .mend("take the sign out, or write the bars to be repeated");
        }
        if let Some((pickup, span)) = sets.first().and_then(|s| s.setup.pickup)
            && self.pickup.is_none()
            && sets.first().is_some_and(|s| s.has("pickup"))
            && self.drafts.first().is_some_and(|d| !d.broken)
            && pickup < self.drafts[0].meter.length()
        {
            diagnostics
                .warning(
                    span,
                    format!("the first bar is a whole one; the pickup of {pickup} is not used"),
                )
                .mend("write the notes of the pickup and a `|` before the first whole bar");
        }
    }

    fn check_pickup(&self, set: &PlannedSet<'_>, diagnostics: &mut Diagnostics) {
        if let Some((pickup, span)) = set.setup.pickup.filter(|_| set.first == 0)
            && pickup >= set.setup.meter.length()
        {
            diagnostics
                .error(
                    span,
                    format!(
                        "a pickup of {pickup} is no shorter than a bar of {}",
                        meter_word(&set.setup.meter)
                    ),
                )
                .mend("write the length of the notes before the first whole bar");
        }
    }

    /// The pickup a set asks for, where it has the block's first bar.
    pub(crate) fn pickup_wanted(&self, set: &PlannedSet<'_>) -> Option<Time> {
        let length = set.setup.meter.length();
        let pickup = set.setup.pickup.map(|(p, _)| p).filter(|p| *p < length)?;
        (set.first == 0 || self.pickup.is_some()).then_some(pickup)
    }

    /// An empty bar with its barlines.
    fn draft(
        &mut self,
        set: &PlannedSet<'a>,
        bar: usize,
        offset: Time,
        length: Time,
        counter: &Arc<Counter>,
        diagnostics: &mut Diagnostics,
    ) -> Draft {
        let mut closing = Closing::Single;
        let mut repeat_start = bar == 0 && self.pending_repeat.take().is_some();
        let mut span: Option<Span> = None;
        let mut sounding = 0;
        let mut again = Vec::new();
        for (shape, row) in set.shapes().zip(&set.rows) {
            let Some(own) = shape.bar(bar) else { continue };
            repeat_start |= own.starts_repeat;
            if let Some((sign, at)) = own.closing {
                close(&mut closing, sign, at, diagnostics);
            }
            let gives_hits = match &row.kind {
                RowKind::Hits(..) | RowKind::Count(_) => true,
                RowKind::Sticks(Limb::Hands, _) => set.rhythm == Rhythm::Sticks,
                _ => false,
            };
            if gives_hits && !own.empty {
                span = Some(span.map_or(own.span, |s| s.join(own.span)));
                sounding += 1;
                again.extend(own.again);
            }
        }
        if bar + 1 == set.bars {
            self.pending_repeat = set.opens_next;
        }
        Draft {
            meter: set.setup.meter.clone(),
            counter: counter.clone(),
            offset,
            length,
            rows: Vec::new(),
            closing,
            repeat_start,
            again: again
                .first()
                .copied()
                .filter(|first| again.len() == sounding && again.iter().all(|a| a == first)),
            written: Vec::new(),
            broken: set.lost || set.rows.iter().any(|r| r.damaged),
            span: span.unwrap_or(set.span),
        }
    }

    /// Bars of voices, with everything under and over them.
    fn finish(mut self, sets: &[PlannedSet<'a>], diagnostics: &mut Diagnostics) -> Vec<Bar> {
        let named = |limb: Limb| {
            sets.iter()
                .flat_map(|s| &s.rows)
                .any(|r| matches!(&r.kind, RowKind::Hits(Hearing::Limb(l), _) if *l == limb))
        };
        let asked = sets.first().map(|s| s.setup.voices).unwrap_or_default();
        let both = named(Limb::Hands) && named(Limb::Feet);
        let apart =
            voices::apart(&self.drafts, self.block.word.value, asked, both, &self.around.kit);
        let mut merged = voices::merge(&self.drafts, &apart, &self.around.kit, diagnostics);
        let mut extras: Vec<Extras> = self.drafts.iter().map(|_| Extras::default()).collect();
        for (index, set) in sets.iter().enumerate() {
            let range = set.first..(set.first + set.bars).min(self.drafts.len());
            let Some(drafts) = self.drafts.get(range.clone()) else { continue };
            let opening = opening(set, index.checked_sub(1).and_then(|i| sets.get(i)));
            if let Some(first) = extras.get_mut(set.first) {
                first.marks.extend(opening);
            }
            let slots = (set.rhythm == Rhythm::Count).then(|| &self.slots[range.clone()]);
            if set.rhythm == Rhythm::None {
                continue;
            }
            let (merged, extras) = (&mut merged[range.clone()], &mut extras[range]);
            add_extras(set, (drafts, slots), self.total, merged, extras, diagnostics);
        }
        let show = sets.first().map_or(CountDisplay::Played, |s| s.setup.counts);
        let drafts = std::mem::take(&mut self.drafts);
        let drafted = drafts.into_iter().zip(merged).zip(extras);
        drafted.map(|((draft, voices), extras)| bar(draft, voices, extras, show)).collect()
    }
}
