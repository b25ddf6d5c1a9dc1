//! Blocks put together: sets to bars.

use super::bars::RawBar;
use super::block::{Bar, Block, Closing, Mark, MarkKind, Syllable};
use super::counted::{CountedBar, deal_counted, read_counts};
use super::counting::{Counter, Systems};
use super::deal::{Dealer, Dealt, Hearing};
use super::flow::{Draft, Flow, Taking};
use super::keys::{Place as KeyPlace, Setup};
use super::kit::Limb;
use super::meter::MeterKind;
use super::rows::{Before, PlannedRow, PlannedSet, Rhythm, RowKind, Spreads};
use super::ruler::{Lot, Ruler};
use super::say::{self, Place};
use super::settings::{CountDisplay, Header, Rests};
use super::sticking::Sticks;
use super::voices::{self, VoiceDraft};
use super::words::{self, WordRow};
use super::{Kit, Meter, Time};
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{self, BarSign};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Most hits of one block, so that no short text makes an endless score.
const MOST_EVENTS: usize = 400_000;

/// What is known of the file where a block stands.
pub(super) struct Context<'a> {
    pub(super) setup: &'a Setup,
    pub(super) systems: &'a Systems,
    pub(super) kit: &'a Arc<Kit>,
}

/// What a beat of a time signature is called in a message.
pub(super) fn beat_word(meter: &Meter) -> &'static str {
    if meter.kind == MeterKind::Additive { "group" } else { "beat" }
}

/// A time signature as it is written.
pub(super) fn meter_word(meter: &Meter) -> String {
    let upper: Vec<String> = meter.upper.iter().map(u32::to_string).collect();
    format!("{}/{}", upper.join("+"), meter.lower)
}

/// Understands one block of music.
pub(super) fn block(
    block: &tree::Block,
    number: Option<u32>,
    context: &Context<'_>,
    diagnostics: &mut Diagnostics,
) -> Block {
    let mut setup = context.setup.clone();
    let mut sets: Vec<PlannedSet<'_>> = Vec::new();
    let mut before = Before::default();
    let mut first = 0;
    for (index, set) in block.sets.iter().enumerate() {
        let place = if index == 0 { KeyPlace::Block } else { KeyPlace::LaterSet };
        let mut unused = Header::default();
        let keys = setup.take(&set.settings, place, &mut unused, context.systems, diagnostics);
        let planned = PlannedSet::new(
            set,
            setup.clone(),
            keys,
            context.kit,
            first,
            block.span,
            &mut before,
            diagnostics,
        );
        first += planned.bars;
        sets.push(planned);
    }
    let settings =
        sets.first().map_or_else(|| setup.block_settings(), |s| s.setup.block_settings());
    let mut assembly = Assembly {
        block,
        context,
        total: first,
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
    let bars = assembly.finish(&sets, diagnostics);
    Block {
        word: block.word.value,
        name: block.name.as_ref().map(|n| n.value.clone()),
        title: block.title.as_ref().map(|t| t.value.clone()),
        number,
        settings,
        kit: context.kit.clone(),
        bars,
        span: block.span,
    }
}

struct Assembly<'a, 'c> {
    block: &'a tree::Block,
    context: &'a Context<'c>,
    /// Bars of the whole block.
    total: usize,
    drafts: Vec<Draft>,
    flows: BTreeMap<String, Flow>,
    pending_repeat: Option<Span>,
    events: usize,
    /// The length of the pickup the block does start with.
    pickup: Option<Time>,
    /// Times of the syllables of counted bars.
    slots: Vec<Vec<Time>>,
}

impl<'a> Assembly<'a, '_> {
    fn place<'p>(&self, row: &'p str, bar: usize) -> Place<'p> {
        Place { row, bar: (self.total > 1).then_some(bar + 1) }
    }

    fn set(&mut self, set: &PlannedSet<'a>, diagnostics: &mut Diagnostics) {
        if set.rhythm == Rhythm::None {
            if set.lost {
                return;
            }
            diagnostics.error(set.span, "this block has no row of notes").mend(
                "write a `play` row, a row for each instrument, a `count` row or a `stick` row",
            );
            return;
        }
        let meter = &set.setup.meter;
        let ruler = Ruler::new(meter);
        let system = self.context.systems.get_or_numbers(set.setup.counting.as_deref());
        let counter = Arc::new(Counter::new(system, meter, set.setup.compound, set.setup.odd));
        self.check_pickup(set, diagnostics);
        let names: Vec<&str> = set.rows.iter().map(|r| r.name).collect();
        let gone: Vec<String> =
            self.flows.keys().filter(|n| !names.contains(&n.as_str())).cloned().collect();
        for name in gone {
            if let Some(mut flow) = self.flows.remove(&name) {
                flow.stop(Place { row: &name, bar: None }, diagnostics);
            }
        }
        let counted = read_counts(set, &counter, self.total, self.pickup_wanted(set), diagnostics);
        let mut dealers: Vec<Option<Dealer<'_>>> = set
            .rows
            .iter()
            .map(|row| match &row.kind {
                RowKind::Hits(hearing, _) => {
                    Some(Dealer::new(self.context.kit, *hearing, row.name))
                }
                _ => None,
            })
            .collect();
        let plain = Dealer::new(self.context.kit, Hearing::Play, "count");
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
            flow.stop(Place { row: &name, bar: None }, diagnostics);
        }
        if let Some(span) = self.pending_repeat {
            diagnostics
                .error(span, "a repeat starts here, but no bar follows")
                .mend("take the sign out, or write the bars to be repeated");
        }
        if let Some((pickup, span)) = sets.first().and_then(|s| s.setup.pickup)
            && self.pickup.is_none()
            && sets.first().is_some_and(|s| s.keys.contains(&"pickup"))
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
    fn pickup_wanted(&self, set: &PlannedSet<'_>) -> Option<Time> {
        let length = set.setup.meter.length();
        let pickup = set.setup.pickup.map(|(p, _)| p).filter(|p| *p < length)?;
        (set.first == 0 || self.pickup.is_some()).then_some(pickup)
    }

    /// Where in the meter a bar starts and how long it is: whole, but for a pickup that is filled
    /// exactly and for the last bar that complements it.
    fn extent(&self, set: &PlannedSet<'a>, bar: usize, ruler: &Ruler) -> (Time, Time) {
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
                let ends = |lots: Vec<Lot>| lots.last().is_some_and(|l| l.end == *offset + *length);
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
        let mut same = 0;
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
                same += usize::from(own.same);
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
            same: sounding > 0 && same == sounding,
            written: Vec::new(),
            broken: set.lost || set.rows.iter().any(|r| r.damaged),
            span: span.unwrap_or(set.span),
        }
    }

    /// Deals one bar of a row whose groups are beats.
    #[allow(clippy::too_many_arguments)]
    fn deal_grid(
        &mut self,
        set: &PlannedSet<'a>,
        row: &PlannedRow<'a>,
        bar: usize,
        ruler: &Ruler,
        dealer: Option<&mut Dealer<'_>>,
        plain: &Dealer<'_>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Dealt> {
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
        lots: Vec<Lot>,
        mut group: impl FnMut(&T, Lot, &mut Dealt),
    ) -> Dealt {
        let mut dealt = Dealt::default();
        let Some(draft) = self.drafts.last() else { return dealt };
        for (own, lot) in raw.groups.iter().zip(lots) {
            if lot.end > draft.end() {
                break;
            }
            let lot = Lot { start: lot.start - draft.offset, end: lot.end - draft.offset };
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
    ) -> Vec<Lot> {
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
        let meter = &set.setup.meter;
        let misfit = Misfit { place, meter, ruler, draft, raw, lots: &lots };
        misfit.report(diagnostics);
        lots
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
        let apart = voices::apart(&self.drafts, self.block.word.value, asked, both);
        let mut merged = voices::merge(&self.drafts, apart, self.context.kit, diagnostics);
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
            self.set_extras(
                set,
                drafts,
                slots,
                &mut merged[range.clone()],
                &mut extras[range],
                diagnostics,
            );
        }
        let show = sets.first().map_or(CountDisplay::Played, |s| s.setup.counts);
        let drafts = std::mem::take(&mut self.drafts);
        let drafted = drafts.into_iter().zip(merged).zip(extras);
        let mut bars: Vec<Bar> =
            drafted.map(|((draft, voices), extras)| bar(draft, voices, extras, show)).collect();
        for index in (1..bars.len()).rev() {
            bars[index].same_as_before &= bars[index].repeats(&bars[index - 1]);
        }
        bars
    }

    fn set_extras(
        &self,
        set: &PlannedSet<'a>,
        drafts: &[Draft],
        slots: Option<&[Vec<Time>]>,
        merged: &mut [[VoiceDraft; 2]],
        extras: &mut [Extras],
        diagnostics: &mut Diagnostics,
    ) {
        for row in &set.rows {
            let words = |raw| WordRow {
                name: row.name,
                raw,
                damaged: row.damaged,
                first: set.first,
                bars_in_block: self.total,
            };
            match &row.kind {
                RowKind::Sticks(limb, raw) => {
                    let sticks = Sticks {
                        row: row.name,
                        limb: *limb,
                        raw,
                        span: row.name_span,
                        damaged: row.damaged,
                    };
                    let dealt = sticks.deal(drafts, merged, set.first, self.total, diagnostics);
                    for (extra, own) in extras.iter_mut().zip(dealt) {
                        match limb {
                            Limb::Hands => extra.sticking = own,
                            Limb::Feet => extra.pedalling = own,
                        }
                    }
                }
                RowKind::Dyn(raw) => {
                    let dealt = words(raw).dynamics(drafts, slots, diagnostics);
                    extras.iter_mut().zip(dealt).for_each(|(e, own)| e.dynamics = own);
                }
                RowKind::Say(raw) => {
                    let hits: Vec<Vec<Time>> = merged.iter().map(struck_times).collect();
                    let dealt = words(raw).words(drafts, &hits, diagnostics);
                    extras.iter_mut().zip(dealt).for_each(|(e, own)| e.words = own);
                }
                RowKind::Mark(raw) => {
                    let dealt = words(raw).marks(drafts, diagnostics);
                    extras.iter_mut().zip(dealt).for_each(|(e, own)| e.marks.extend(own));
                }
                RowKind::Hits(..) | RowKind::Count(_) => {}
            }
        }
        extras.iter_mut().for_each(|e| e.marks.sort_by_key(|m| m.at));
    }
}

/// What stands under and over a bar.
#[derive(Default)]
struct Extras {
    sticking: Vec<super::block::Sticking>,
    pedalling: Vec<super::block::Sticking>,
    words: Vec<super::block::Words>,
    dynamics: Vec<super::block::Dynamic>,
    marks: Vec<Mark>,
}

fn bar(draft: Draft, voices: [VoiceDraft; 2], extras: Extras, show: CountDisplay) -> Bar {
    let [upper, lower] = voices.map(VoiceDraft::finish);
    let all = show == CountDisplay::All;
    let mut counts = Vec::new();
    if show != CountDisplay::None {
        counts = draft.counter.spell([&upper, &lower], draft.offset, draft.length, all);
        let sounds = |at: Time| {
            [&upper, &lower].iter().any(|v| {
                v.hits.binary_search_by_key(&at, |h| h.at).is_ok_and(|i| !v.hits[i].continued)
            })
        };
        for word in draft.written {
            let sounded = sounds(word.at);
            match counts.binary_search_by_key(&word.at, |s| s.at) {
                Ok(index) => counts[index].text = word.text,
                Err(index) if sounded || all => counts.insert(index, Syllable { sounded, ..word }),
                Err(_) => {}
            }
        }
    }
    Bar {
        meter: draft.meter,
        length: draft.length,
        offset: draft.offset,
        upper,
        lower,
        counts,
        sticking: extras.sticking,
        pedalling: extras.pedalling,
        words: extras.words,
        dynamics: extras.dynamics,
        marks: extras.marks,
        repeat_start: draft.repeat_start,
        closing: draft.closing,
        same_as_before: draft.same,
        span: draft.span,
    }
}

fn struck_times(voices: &[VoiceDraft; 2]) -> Vec<Time> {
    let hits = voices.iter().flat_map(|v| v.hits.iter());
    let mut times: Vec<Time> = hits.filter(|m| !m.hit.continued).map(|m| m.hit.at).collect();
    times.sort();
    times.dedup();
    times
}

/// A new tempo or feel at the start of a later set is a mark over its first bar.
fn opening(set: &PlannedSet<'_>, before: Option<&PlannedSet<'_>>) -> Vec<Mark> {
    let Some(before) = before else { return Vec::new() };
    let mut kinds = Vec::new();
    if set.keys.contains(&"tempo")
        && let Some(tempo) = &set.setup.tempo
    {
        kinds.push(MarkKind::Tempo(tempo.under(&set.setup.meter)));
    }
    if set.keys.contains(&"swing") && set.setup.swing != before.setup.swing {
        kinds.push(set.setup.swing.map_or(MarkKind::Straight, MarkKind::Swing));
    }
    words::opening_marks(kinds, set.span)
}

/// Takes the sign of one more row for a barline.
fn close(closing: &mut Closing, sign: BarSign, span: Span, diagnostics: &mut Diagnostics) {
    let own = match sign {
        BarSign::Single | BarSign::RepeatStart => return,
        BarSign::Double => Closing::Double,
        BarSign::RepeatEnd { times, counted } | BarSign::RepeatBoth { times, counted } => {
            Closing::Repeat { times, counted }
        }
    };
    match (*closing, own) {
        (Closing::Repeat { times, .. }, Closing::Repeat { times: other, counted }) => {
            if times != other {
                diagnostics
                    .warning(span, "the rows do not agree how often this is played".to_owned())
                    .mend("write the number on one row only");
            }
            if counted {
                *closing = own;
            }
        }
        (Closing::Repeat { .. }, _) => {}
        _ => *closing = own,
    }
}

/// A row's bar that its groups do not fill.
struct Misfit<'m, 'a, T> {
    place: Place<'m>,
    meter: &'m Meter,
    ruler: &'m Ruler,
    draft: &'m Draft,
    raw: &'m RawBar<'a, T>,
    lots: &'m [Lot],
}

impl<T: Spreads> Misfit<'_, '_, T> {
    fn report(&self, diagnostics: &mut Diagnostics) {
        let Some(last) = self.lots.last() else { return };
        let thing = beat_word(self.meter);
        let start = self.ruler.beats_before(self.draft.offset);
        let have = self.ruler.beats_before(last.end) - start;
        let end = self.ruler.beats_before(self.draft.end());
        let wanted = end - start;
        let whole = self.draft.length == self.meter.length();
        let bar = if whole {
            format!("a bar of {}", meter_word(self.meter))
        } else {
            format!("a short bar of {}", self.draft.length)
        };
        let head = format!("{}: {} in {bar}", self.place, say::beats(have, thing));
        let spans: Vec<Span> = self.raw.groups.iter().map(|g| g.span()).collect();
        if have < wanted {
            let missing = wanted - have;
            let verb = if missing > 1.into() { "are" } else { "is" };
            let span = spans.last().copied().unwrap_or(self.raw.span);
            diagnostics
                .error(span, format!("{head}; {} {verb} missing", say::beats(missing, thing)))
                .mend(with_group_hint(format!("add `.` for each silent {thing}"), self.meter));
            return;
        }
        let over: Vec<Span> = self
            .lots
            .iter()
            .zip(&spans)
            .filter(|(lot, _)| lot.end > self.draft.end())
            .map(|(_, span)| *span)
            .collect();
        let Some(first) = over.first() else { return };
        let span = over.iter().fold(*first, |all, s| all.join(*s));
        let exact = have - wanted == (over.len() as i64).into();
        let what = match (exact, over.len()) {
            (true, 1) => "the last group is one too many".to_owned(),
            (true, n) => format!("the last {} groups are too many", say::number(n)),
            (false, 1) => format!(
                "the last group runs past the barline by {}",
                say::beats(have - wanted, thing)
            ),
            (false, n) => format!(
                "the last {} groups run past the barline by {}",
                say::number(n),
                say::beats(have - wanted, thing)
            ),
        };
        diagnostics.error(span, format!("{head}; {what}")).mend(with_group_hint(
            match over.len() {
                1 => "take it out, or put a `|` where the new bar begins".to_owned(),
                _ => "take them out, or put a `|` where the new bar begins".to_owned(),
            },
            self.meter,
        ));
    }
}

/// A mend, with what a group is where it is no plain beat.
pub(super) fn with_group_hint(mend: String, meter: &Meter) -> String {
    let word = meter_word(meter);
    match meter.kind {
        MeterKind::Simple => mend,
        MeterKind::Compound => format!(
            "{mend}; in {word} each group between spaces is a dotted beat, and `sss` three notes of it"
        ),
        MeterKind::Additive => {
            format!("{mend}; a group of cells is one of the written groups of {word}")
        }
    }
}
