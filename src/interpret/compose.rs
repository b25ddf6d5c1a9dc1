//! Bars put together from what each row plays, without a text they were read from: the way by which
//! music that is made becomes the same bars as music that is written.

use super::bar_draft::BarDraft;
use super::counting::{Counter, CountingSystems};
use super::finish::{Extras, bar};
use super::place::PlacedCells;
use super::setup::Setup;
use super::sustain::{RowInBar, Sustain};
use super::{beams, same_bars, two_voices, voices};
use crate::score::settings::Rests;
use crate::score::{Again, Bar, BlockWord, Closing, HitsRow, Kit, Meter, Span, Time};
use crate::source::Diagnostics;
use crate::source::say::RowBar;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A bar without its notes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BarFrame {
    pub(crate) meter: Arc<Meter>,
    /// Where in the meter it starts.
    pub(crate) offset: Time,
    pub(crate) length: Time,
    pub(crate) closing: Closing,
    pub(crate) repeat_start: bool,
    /// It repeats the bar before, and a sign stands for it.
    pub(crate) same: bool,
}

/// A block that is being put together.
pub(crate) struct Composition<'a> {
    setup: &'a Setup,
    systems: &'a CountingSystems,
    kit: &'a Kit,
    /// Where all of it is said to be written.
    span: Span,
    /// Bars of the whole block.
    total: usize,
    drafts: Vec<BarDraft>,
    extras: Vec<Extras>,
    sustains: BTreeMap<HitsRow, Sustain>,
    counter: Option<(Arc<Meter>, Arc<Counter>)>,
}

impl<'a> Composition<'a> {
    /// An empty block of so many bars.
    pub(crate) fn new(
        setup: &'a Setup,
        systems: &'a CountingSystems,
        kit: &'a Kit,
        span: Span,
        total: usize,
    ) -> Self {
        Self {
            setup,
            systems,
            kit,
            span,
            total,
            drafts: Vec::with_capacity(total),
            extras: Vec::with_capacity(total),
            sustains: BTreeMap::new(),
            counter: None,
        }
    }

    fn counter(&mut self, meter: &Arc<Meter>) -> Arc<Counter> {
        if let Some((own, counter)) = &self.counter
            && own == meter
        {
            return counter.clone();
        }
        let system = self.systems.get_or_numbers(self.setup.counting.as_deref());
        let counter = Counter::new(system, meter, self.setup.compound, self.setup.odd);
        let counter = Arc::new(counter);
        self.counter = Some((meter.clone(), counter.clone()));
        counter
    }

    /// Adds a bar: what each row plays in it, and what stands under and over it. A row that another
    /// bar has and this one has not is over.
    pub(crate) fn bar(
        &mut self,
        frame: BarFrame,
        rows: Vec<(HitsRow, PlacedCells)>,
        extras: Extras,
        diagnostics: &mut Diagnostics,
    ) {
        let counter = self.counter(&frame.meter);
        let index = self.drafts.len();
        let beams = beams::groups(self.setup, &frame.meter);
        self.drafts.push(BarDraft {
            meter: frame.meter,
            counter,
            beams,
            offset: frame.offset,
            length: frame.length,
            rows: Vec::new(),
            closing: frame.closing,
            repeat_start: frame.repeat_start,
            again: frame.same.then_some(Again { bars: 1, part: 0 }),
            full_rests: self.setup.rests == Rests::Full,
            written: Vec::new(),
            broken: false,
            span: self.span,
        });
        self.extras.push(extras);
        self.sustains.retain(|row, sustain| {
            let goes_on = rows.iter().any(|(own, _)| own == row);
            if !goes_on {
                sustain.ring(&mut self.drafts);
            }
            goes_on
        });
        let full_rests = self.setup.rests == Rests::Full;
        for (row, mut placed) in rows {
            let name = row.as_str();
            placed.join_fragments();
            placed.trim(frame.length);
            let place = RowBar { row: name, bar: (self.total > 1).then_some(index + 1) };
            let sustain = self.sustains.entry(row.clone()).or_default();
            let taking = RowInBar { place, full_rests };
            sustain.take(&mut self.drafts, name, placed, taking, diagnostics);
        }
    }

    /// The bars; `apart` says whether rows of hands and of feet asked for two voices.
    pub(crate) fn finish(
        mut self,
        word: BlockWord,
        apart: bool,
        diagnostics: &mut Diagnostics,
    ) -> Vec<Bar> {
        for mut sustain in std::mem::take(&mut self.sustains).into_values() {
            sustain.ring(&mut self.drafts);
        }
        let apart = two_voices::apart(&self.drafts, word, self.setup.voices, apart, self.kit);
        let merged = voices::merge(&self.drafts, &apart, (self.kit, voices::HANDS), diagnostics);
        let drafted = self.drafts.into_iter().zip(merged).zip(self.extras);
        let show = self.setup.counts;
        let mut bars: Vec<Bar> =
            drafted.map(|((draft, voices), extras)| bar(draft, voices, extras, show)).collect();
        same_bars::keep_true_repeats(&mut bars);
        bars
    }
}
