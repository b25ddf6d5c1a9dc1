//! Phrases as bars: what each row plays is laid over the beats, and the bars are put together as
//! those of a written block are.

use super::cells::{Cell, Finder};
use super::phrase::{Letter, Measure, Note, Phrase};
use super::row::{self, Content, Group, Row, Set, TooFine};
use crate::interpret::compose::{Composition, Frame};
use crate::interpret::deal::{Act, Dealt, Event, Struck};
use crate::interpret::divisions::Stretch;
use crate::interpret::finish::Extras;
use crate::interpret::request::{Pattern, Surroundings};
use crate::interpret::setup::Setup;
use crate::score::kit::Limb;
use crate::score::meter::{MeterKind, MeterSign};
use crate::score::settings::Rests;
use crate::score::{
    Bar, Block, BlockWord, Closing, Hand, HitsRow, Kit, Mark, Meter, Span, Sticking, Time,
};
use crate::source::Diagnostics;
use std::sync::Arc;

/// What a phrase is composed under.
#[derive(Clone, Copy)]
pub(crate) struct Ground<'a> {
    pub(crate) around: &'a Surroundings,
    /// The keys of the block over those where it stands.
    pub(crate) setup: &'a Setup,
    pub(crate) word: BlockWord,
    /// Where all of it is said to be written.
    pub(crate) span: Span,
}

/// The bars of a phrase.
pub(crate) fn bars(
    phrase: &Phrase,
    ground: Ground<'_>,
    finder: &mut Finder,
    diagnostics: &mut Diagnostics,
) -> Result<Vec<Bar>, TooFine> {
    let Ground { around, setup, word, span } = ground;
    let rows = row::rows(phrase, &around.kit);
    let total = phrase.bars.len();
    let mut composition = Composition::new(setup, &around.systems, &around.kit, span, total);
    let mut named = [false; 2];
    let mut letters = Letters::of(phrase, span);
    for set in row::sets(phrase) {
        let own: Vec<&Row> = set.rows(&rows).collect();
        named[0] |= own.iter().any(|row| row.is_of(Limb::Hands));
        named[1] |= own.iter().any(|row| row.is_of(Limb::Feet));
        let mut at = set.start;
        for index in set.bars.clone() {
            let Some(bar) = phrase.bars.get(index) else { continue };
            let mut played = Vec::new();
            for row in &own {
                if let Content::Music(name, struck) = &row.content {
                    let full_rests = setup.rests == Rests::Full;
                    let groups = row::groups(phrase, row, (index, at), full_rests, finder)?;
                    let lay = Lay { start: at, struck, span };
                    played.push((name.clone(), lay.bar(&groups)));
                }
            }
            let extras = letters.take(at, bar);
            composition.bar(frame(bar, index, &set, total), played, extras, diagnostics);
            at += bar.length;
        }
    }
    Ok(composition.finish(word, named == [true, true], diagnostics))
}

fn frame(bar: &Measure, index: usize, set: &Set, total: usize) -> Frame {
    let closing = match bar.closing {
        // The last bar of a block has its final barline.
        Closing::Double if index + 1 == total => Closing::Single,
        closing => closing,
    };
    Frame {
        meter: bar.meter.clone(),
        offset: bar.offset,
        length: bar.length,
        closing,
        repeat_start: bar.repeat_start,
        same: bar.same && index > set.bars.start,
    }
}

/// Lays cells of a bar over time, counted from the bar's start.
struct Lay<'a> {
    start: Time,
    struck: &'a [Struck],
    span: Span,
}

impl Lay<'_> {
    fn bar(&self, groups: &[Group]) -> Dealt {
        let mut dealt = Dealt::default();
        for group in groups {
            let start = group.start - self.start;
            let stretch = self.cells(&group.cells, start, group.length, &mut dealt.events);
            dealt.stretches.push(stretch);
        }
        dealt
    }

    /// Splits stand no deeper than they are looked for.
    fn cells(&self, cells: &[Cell], start: Time, length: Time, events: &mut Vec<Event>) -> Stretch {
        let count = cells.len().max(1) as i64;
        let mut inner = Vec::new();
        for (index, cell) in (0..).zip(cells) {
            let at = start + length * index / count;
            let end = start + length * (index + 1) / count;
            let act = match cell {
                Cell::Hit(number) => match self.struck.get(*number) {
                    Some(struck) => Act::Struck(struck.clone()),
                    None => Act::Silence,
                },
                Cell::Hold => Act::Hold,
                Cell::Tie => Act::Tie,
                Cell::Silence => Act::Silence,
                Cell::Split(cells) => {
                    inner.push(self.cells(cells, at, end - at, events));
                    continue;
                }
            };
            events.push(Event { at, end, act, span: self.span });
        }
        Stretch { start, length, inner }
    }
}

/// The letters of a phrase and the marks over it, bar by bar.
struct Letters<'a> {
    notes: std::iter::Peekable<std::slice::Iter<'a, Note>>,
    span: Span,
}

impl<'a> Letters<'a> {
    fn of(phrase: &'a Phrase, span: Span) -> Self {
        Self { notes: phrase.notes.iter().peekable(), span }
    }

    /// What stands under and over the next bar, which begins at a time.
    fn take(&mut self, start: Time, bar: &Measure) -> Extras {
        let mut extras = Extras::default();
        let span = self.span;
        while let Some(note) = self.notes.next_if(|note| note.at < start + bar.length) {
            let Some(Letter { hand, grace }) = note.letter.clone() else { continue };
            let own = match note.limb {
                Limb::Hands => &mut extras.sticking,
                Limb::Feet => &mut extras.pedalling,
            };
            own.push(Sticking { at: note.at - start, hand, grace, span });
        }
        let mark = bar.mark.clone();
        extras.marks.extend(mark.map(|kind| Mark { at: Time::ZERO, kind, span }));
        extras
    }
}

/// The notes of a pattern of one beat, with their times from zero to one quarter.
pub(crate) fn notes(pattern: &Pattern, around: &Surroundings) -> Vec<Note> {
    let quarter =
        Meter { upper: vec![1], lower: 4, kind: MeterKind::Simple, sign: MeterSign::Numbers };
    let setup = Setup { meter: Arc::new(quarter), pickup: None, ..Setup::clone(&around.setup) };
    patterns(&[(HitsRow::Play, pattern)], &[], 1, around, &setup).notes
}

/// Patterns that go on, over one another, for so many beats from the start of a bar, as a phrase;
/// the hands of its notes in order, where they are known.
pub(crate) fn patterns(
    rows: &[(HitsRow, &Pattern)],
    hands: &[Hand],
    beats: usize,
    around: &Surroundings,
    setup: &Setup,
) -> Phrase {
    let bar_beats = setup.meter.beats();
    let bars = beats.div_ceil(bar_beats.len().max(1));
    let kit: &Kit = &around.kit;
    let span = Span::default();
    // What is written in such bars was read before, or is one of the rule's own; it has no faults.
    let mut quiet = Diagnostics::default();
    let mut composition = Composition::new(setup, &around.systems, kit, span, bars);
    for bar in 0..bars {
        let mut played = Vec::new();
        for (name, pattern) in rows.iter().filter(|(_, pattern)| !pattern.is_silent()) {
            let mut dealt = Dealt::default();
            let mut at = Time::ZERO;
            for (index, length) in bar_beats.iter().enumerate() {
                pattern.lay(bar * bar_beats.len() + index, at, *length, &mut dealt);
                at += *length;
            }
            played.push((name.clone(), dealt));
        }
        let frame = Frame {
            meter: setup.meter.clone(),
            offset: Time::ZERO,
            length: setup.meter.length(),
            closing: Closing::Single,
            repeat_start: false,
            same: false,
        };
        composition.bar(frame, played, Extras::default(), &mut quiet);
    }
    let sounds =
        |name: &HitsRow| rows.iter().any(|(own, pattern)| own == name && !pattern.is_silent());
    let apart = [Limb::Hands, Limb::Feet].map(HitsRow::Limb).iter().all(sounds);
    let bars = composition.finish(BlockWord::Exercise, apart, &mut quiet);
    let block = Block {
        word: BlockWord::Exercise,
        name: None,
        title: None,
        number: None,
        chapter: None,
        settings: setup.block_settings(),
        kit: around.kit.clone(),
        bars,
        span,
    };
    let mut phrase = Phrase::of(&block, kit).unwrap_or_else(|_| Phrase::empty());
    let own = phrase.notes.iter_mut().filter(|note| note.limb == Limb::Hands);
    for (note, hand) in own.zip(hands) {
        note.letter = Some(Letter { hand: *hand, grace: Vec::new() });
    }
    phrase
}
