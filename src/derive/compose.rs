//! Phrases as bars: what each row plays is laid over the beats, and the bars are put together as
//! those of a written block are.

use super::across;
use super::attached::Attached;
use super::cells::{Finder, RowCell};
use super::phrase::{Letter, LimbNote, Phrase};
use super::row::{self, BeatCells, PhraseRow, RowContent, Set, TooFine};
use crate::interpret::compose::{BarFrame, Composition};
use crate::interpret::divisions::DividedSpan;
use crate::interpret::finish::Extras;
use crate::interpret::place::{Act, CellHit, Event, PlacedCells};
use crate::interpret::request::Pattern;
use crate::interpret::setup::Setup;
use crate::interpret::surroundings::Surroundings;
use crate::score::kit::Limb;
use crate::score::meter::{MeterKind, MeterSign};
use crate::score::settings::Rests;
use crate::score::{
    Bar, Block, BlockWord, Closing, Cue, Dynamic, DynamicKind, Hand, HitsRow, Kit, Mark, MarkKind,
    Meter, PlayerPart, SmallNotes, Span, Sticking, Time, Words,
};
use crate::source::Diagnostics;
use std::iter::Peekable;
use std::slice::Iter;
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
    let mut hanging = BarExtras::of(phrase, span);
    for set in row::sets(phrase) {
        let own: Vec<&PhraseRow> = set.rows(&rows).collect();
        named[0] |= own.iter().any(|row| row.is_of(Limb::Hands));
        named[1] |= own.iter().any(|row| row.is_of(Limb::Feet));
        let mut at = set.start;
        // What rows play of a group over the barline before a bar.
        let mut over: Vec<Option<PlacedCells>> = vec![None; own.len()];
        for index in set.bars.clone() {
            let Some(bar) = phrase.bars.get(index) else { continue };
            let mut played = Vec::new();
            for (row, over) in own.iter().zip(&mut over) {
                if let RowContent::Music(name, hits) = &row.content {
                    let full_rests = setup.rests == Rests::Full;
                    let groups = row::groups(phrase, row, (index, at), full_rests, finder)?;
                    let lay = Lay { start: at, hits, span };
                    let placed = lay.bar(&groups, over.take().unwrap_or_default());
                    let (placed, rest) = lay.cut(placed, &groups, bar.length);
                    *over = rest;
                    played.push((name.clone(), placed));
                }
            }
            let extras = hanging.take(at, bar);
            composition.bar(frame(bar, index, &set, total), played, extras, diagnostics);
            at += bar.length;
        }
    }
    Ok(composition.finish(word, named == [true, true], diagnostics))
}

fn frame(bar: &BarFrame, index: usize, set: &Set, total: usize) -> BarFrame {
    let closing = match bar.closing {
        // The last bar of a block has its final barline.
        Closing::Double if index + 1 == total => Closing::Single,
        closing => closing,
    };
    BarFrame { closing, same: bar.same && index > set.bars.start, ..bar.clone() }
}

/// Lays cells of a bar over time, counted from the bar's start.
struct Lay<'a> {
    start: Time,
    hits: &'a [CellHit],
    span: Span,
}

impl Lay<'_> {
    /// The cells of a bar after those that a group over the barline has in it.
    fn bar(&self, groups: &[BeatCells], mut placed: PlacedCells) -> PlacedCells {
        for group in groups {
            let start = group.start - self.start;
            let stretch = self.cells(&group.cells, start, group.length, &mut placed.events);
            placed.stretches.push(stretch);
        }
        placed
    }

    /// What is played in the bar, and what is left for the next one of a group over the barline.
    fn cut(
        &self,
        mut placed: PlacedCells,
        groups: &[BeatCells],
        length: Time,
    ) -> (PlacedCells, Option<PlacedCells>) {
        let last = groups.last().filter(|group| group.before_line.is_some());
        let rest = last
            .map(|group| across::cut_at(&mut placed, (group.cells.len(), group.length), length));
        (placed, rest)
    }

    /// Splits stand no deeper than they are looked for.
    fn cells(
        &self,
        cells: &[RowCell],
        start: Time,
        length: Time,
        events: &mut Vec<Event>,
    ) -> DividedSpan {
        let count = cells.len().max(1) as i64;
        let mut inner = Vec::new();
        for (index, cell) in (0..).zip(cells) {
            let at = start + length * index / count;
            let end = start + length * (index + 1) / count;
            let act = match cell {
                RowCell::Hit(number) => match self.hits.get(*number) {
                    Some(hit) => Act::Hit(hit.clone()),
                    None => Act::Silence,
                },
                RowCell::Hold => Act::Hold,
                RowCell::Tie => Act::Tie,
                RowCell::Silence => Act::Silence,
                RowCell::Split(cells) => {
                    inner.push(self.cells(cells, at, end - at, events));
                    continue;
                }
            };
            events.push(Event { at, end, lasts: None, act, span: self.span });
        }
        DividedSpan { start, length, inner, across: None }
    }
}

/// The letters of a phrase, and what else hangs on its notes, bar by bar.
struct BarExtras<'a> {
    notes: Peekable<Iter<'a, LimbNote>>,
    words: Peekable<Iter<'a, (Time, String)>>,
    dynamics: Peekable<Iter<'a, (Time, DynamicKind)>>,
    marks: Peekable<Iter<'a, (Time, MarkKind)>>,
    cues: Peekable<Iter<'a, (Time, String)>>,
    small: Peekable<Iter<'a, (Time, Arc<SmallNotes>)>>,
    span: Span,
}

impl<'a> BarExtras<'a> {
    fn of(phrase: &'a Phrase, span: Span) -> Self {
        let Attached { words, dynamics, marks, cues, small } = &phrase.attached;
        Self {
            notes: phrase.notes.iter().peekable(),
            words: words.iter().peekable(),
            dynamics: dynamics.iter().peekable(),
            marks: marks.iter().peekable(),
            cues: cues.iter().peekable(),
            small: small.iter().peekable(),
            span,
        }
    }

    /// What stands under and over the next bar, which begins at a time.
    fn take(&mut self, start: Time, bar: &BarFrame) -> Extras {
        let mut extras = Extras::default();
        let (span, end) = (self.span, start + bar.length);
        while let Some(note) = self.notes.next_if(|note| note.at < end) {
            let Some(Letter { hand, grace, other }) = note.letter.clone() else { continue };
            let own = match note.limb {
                Limb::Hands => &mut extras.sticking,
                Limb::Feet => &mut extras.pedalling,
            };
            own.push(Sticking { at: note.at - start, hand, grace, other, span });
        }
        while let Some((at, text)) = self.words.next_if(|(at, _)| *at < end) {
            extras.words.push(Words { at: *at - start, text: text.clone(), span });
        }
        while let Some((at, kind)) = self.dynamics.next_if(|(at, _)| *at < end) {
            extras.dynamics.push(Dynamic { at: *at - start, kind: *kind, span });
        }
        while let Some((at, kind)) = self.marks.next_if(|(at, _)| *at < end) {
            extras.marks.push(Mark { at: *at - start, kind: kind.clone(), span });
        }
        while let Some((at, player)) = self.cues.next_if(|(at, _)| *at < end) {
            extras.cue = Some(Cue { player: player.clone(), at: *at - start, span });
        }
        while let Some((_, small)) = self.small.next_if(|(at, _)| *at < end) {
            extras.small = Some(small.clone()).filter(|small| small.bar.length == bar.length);
        }
        extras
    }
}

/// The notes of a pattern of one beat, with their times from zero to one quarter.
pub(crate) fn notes(pattern: &Pattern, around: &Surroundings) -> Vec<LimbNote> {
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
    let mut unreported = Diagnostics::default();
    let mut composition = Composition::new(setup, &around.systems, kit, span, bars);
    for bar in 0..bars {
        let mut played = Vec::new();
        for (name, pattern) in rows.iter().filter(|(_, pattern)| !pattern.is_silent()) {
            let mut placed = PlacedCells::default();
            let mut at = Time::ZERO;
            for (index, length) in bar_beats.iter().enumerate() {
                pattern.lay(bar * bar_beats.len() + index, at, *length, &mut placed);
                at += *length;
            }
            played.push((name.clone(), placed));
        }
        let frame = BarFrame {
            meter: setup.meter.clone(),
            offset: Time::ZERO,
            length: setup.meter.length(),
            closing: Closing::Single,
            repeat_start: false,
            same: false,
        };
        composition.bar(frame, played, Extras::default(), &mut unreported);
    }
    let sounds =
        |name: &HitsRow| rows.iter().any(|(own, pattern)| own == name && !pattern.is_silent());
    let apart = [Limb::Hands, Limb::Feet].map(HitsRow::Limb).iter().all(sounds);
    let bars = composition.finish(BlockWord::Exercise, apart, &mut unreported);
    let block = Block {
        word: BlockWord::Exercise,
        name: None,
        parent: None,
        plays: Arc::default(),
        title: None,
        settings: setup.block_settings(),
        part: PlayerPart::alone(setup.part_settings(), around.kit.clone(), bars),
        others: Vec::new(),
        span,
    };
    let mut phrase = Phrase::of(&block.part, kit).unwrap_or_default();
    let own = phrase.notes.iter_mut().filter(|note| note.limb == Limb::Hands);
    for (note, hand) in own.zip(hands) {
        note.letter = Some(Letter::plain(*hand));
    }
    phrase
}
