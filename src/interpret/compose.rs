//! Bars put together from what each row plays, without a text they were read from: the way by which
//! music that is made becomes the same bars as music that is written.

use super::counting::{Counter, Systems};
use super::deal::Dealt;
use super::finish::{Extras, bar};
use super::flow::{Draft, Flow, Taking};
use super::setup::Setup;
use super::{same_bars, voices};
use crate::score::settings::Rests;
use crate::score::{Again, Bar, BlockWord, Closing, HitsRow, Kit, Meter, Span, Time};
use crate::source::Diagnostics;
use crate::source::say::RowBar;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A bar without its notes.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
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
    systems: &'a Systems,
    kit: &'a Kit,
    /// Where all of it is said to be written.
    span: Span,
    /// Bars of the whole block.
    total: usize,
    drafts: Vec<Draft>,
    extras: Vec<Extras>,
    flows: BTreeMap<HitsRow, Flow>,
    counter: Option<(Arc<Meter>, Arc<Counter>)>,
}

impl<'a> Composition<'a> {
    /// An empty block of so many bars.
    pub(crate) fn new(
        setup: &'a Setup,
        systems: &'a Systems,
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
            flows: BTreeMap::new(),
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
        frame: Frame,
        rows: Vec<(HitsRow, Dealt)>,
        extras: Extras,
        diagnostics: &mut Diagnostics,
    ) {
        let counter = self.counter(&frame.meter);
        let index = self.drafts.len();
        self.drafts.push(Draft {
            meter: frame.meter,
            counter,
            offset: frame.offset,
            length: frame.length,
            rows: Vec::new(),
            closing: frame.closing,
            repeat_start: frame.repeat_start,
            again: frame.same.then_some(Again { bars: 1, part: 0 }),
            written: Vec::new(),
            broken: false,
            span: self.span,
        });
        self.extras.push(extras);
        self.flows.retain(|row, flow| {
            let goes_on = rows.iter().any(|(own, _)| own == row);
            if !goes_on {
                flow.stop(RowBar { row: row.as_str(), bar: None }, diagnostics);
            }
            goes_on
        });
        let full_rests = self.setup.rests == Rests::Full;
        for (row, mut dealt) in rows {
            let name = row.as_str();
            dealt.join_fragments();
            dealt.trim(frame.length);
            let place = RowBar { row: name, bar: (self.total > 1).then_some(index + 1) };
            let flow = self.flows.entry(row.clone()).or_default();
            let taking = Taking { place, full_rests };
            flow.take(&mut self.drafts, name, dealt, taking, diagnostics);
        }
    }

    /// The bars; `apart` says whether rows of hands and of feet asked for two voices.
    pub(crate) fn finish(
        mut self,
        word: BlockWord,
        apart: bool,
        diagnostics: &mut Diagnostics,
    ) -> Vec<Bar> {
        for (row, mut flow) in std::mem::take(&mut self.flows) {
            flow.stop(RowBar { row: row.as_str(), bar: None }, diagnostics);
        }
        let apart = voices::apart(&self.drafts, word, self.setup.voices, apart, self.kit);
        let merged = voices::merge(&self.drafts, &apart, self.kit, diagnostics);
        let drafted = self.drafts.into_iter().zip(merged).zip(self.extras);
        let show = self.setup.counts;
        let mut bars: Vec<Bar> =
            drafted.map(|((draft, voices), extras)| bar(draft, voices, extras, show)).collect();
        same_bars::keep_true_repeats(&mut bars);
        bars
    }
}
