//! A phrase as the rows it is written and composed in.

use super::across;
use super::cells::{Finder, RowCell, Timed};
use super::phrase::{GridSpan, Letter, LimbNote, Phrase};
use crate::interpret::place::{CellHit, LimbStrike, LimbStrikes};
use crate::score::kit::{Instrument, Limb};
use crate::score::{Grace, HitsRow, Kit, Meter, RowWord, Time, Touch};
use std::ops::Range;

/// What stands at each time of a row.
#[derive(Clone, Debug)]
pub(crate) enum RowContent {
    /// Hits.
    Music(HitsRow, Vec<CellHit>),
    /// Letters of the hits of some limbs; nothing where a hit has none.
    Letters(Limb, Vec<Option<Letter>>),
}

/// A row.
#[derive(Clone, Debug)]
pub(crate) struct PhraseRow {
    pub(crate) times: Vec<Timed>,
    pub(crate) content: RowContent,
}

impl PhraseRow {
    /// Whether anything of it begins in a stretch of time.
    fn begins_in(&self, start: Time, end: Time) -> bool {
        let first = self.times.partition_point(|t| t.at < start);
        self.times.get(first).is_some_and(|t| t.at < end)
    }

    /// Whether it gives hits.
    pub(crate) fn is_music(&self) -> bool {
        matches!(self.content, RowContent::Music(..))
    }

    /// Whether it gives the hits of these limbs alone.
    pub(crate) fn is_of(&self, limb: Limb) -> bool {
        matches!(&self.content, RowContent::Music(HitsRow::Limb(own), _) if *own == limb)
    }

    /// The word it begins with.
    pub(crate) fn word(&self) -> RowWord {
        match &self.content {
            RowContent::Music(row, _) => RowWord::Hits(row.clone()),
            RowContent::Letters(limb, _) => RowWord::Sticks(*limb),
        }
    }
}

/// The rows of a phrase.
pub(crate) fn rows(phrase: &Phrase, kit: &Kit) -> Vec<PhraseRow> {
    let mut rows = Vec::new();
    let both: &[Limb] = &[Limb::Hands, Limb::Feet];
    if phrase.apart {
        rows.extend(hits(phrase, HitsRow::Limb(Limb::Hands), &[Limb::Hands], kit));
        rows.extend(hits(phrase, HitsRow::Limb(Limb::Feet), &[Limb::Feet], kit));
    } else {
        rows.extend(hits(phrase, HitsRow::Play, both, kit));
    }
    // No letter names the half-open hi-hat; the row of the hi-hat does.
    let hat = kit.instruments.iter().find(|i| i.is_closed_hat());
    rows.extend(hat.and_then(|hat| hits(phrase, HitsRow::Instrument(hat.name.clone()), both, kit)));
    rows.extend(letters(phrase, Limb::Hands));
    rows.extend(letters(phrase, Limb::Feet));
    if rows.is_empty() {
        let content = RowContent::Music(HitsRow::Play, Vec::new());
        rows.push(PhraseRow { times: Vec::new(), content });
    }
    rows
}

fn letters(phrase: &Phrase, limb: Limb) -> Option<PhraseRow> {
    let notes = || phrase.notes.iter().filter(|n| n.limb == limb);
    notes().any(|n| n.letter.is_some()).then(|| PhraseRow {
        times: notes()
            .map(|n| Timed { at: n.at, until: None, tied: false, rolls: false, rings: false })
            .collect(),
        content: RowContent::Letters(limb, notes().map(|n| n.letter.clone()).collect()),
    })
}

/// The hits of some limbs, those at one time joined; nothing where there are none.
fn hits(phrase: &Phrase, row: HitsRow, limbs: &[Limb], kit: &Kit) -> Option<PhraseRow> {
    let mut times: Vec<Timed> = Vec::new();
    let mut content: Vec<CellHit> = Vec::new();
    let notes: Vec<&LimbNote> = phrase.notes.iter().filter(|n| limbs.contains(&n.limb)).collect();
    for now in notes.chunk_by(|a, b| a.at == b.at) {
        let Some(mut hit) = joined(now, &row, kit) else { continue };
        let rolls = hit.is_roll();
        let rings = std::mem::take(&mut hit.touch.rings);
        content.push(hit);
        times.push(Timed {
            at: now.first()?.at,
            until: now.iter().filter_map(|n| n.until).max(),
            tied: rings || now.iter().any(|n| n.tied),
            rolls,
            rings,
        });
    }
    let starts: Vec<Time> = times.iter().map(|c| c.at).collect();
    for time in &mut times {
        // Only a hit that another follows at once can be tied, or the last one, which rings.
        let followed = time.until.is_some_and(|u| starts.binary_search(&u).is_ok());
        let last = starts.last() == Some(&time.at);
        time.tied &= if time.rings { last } else { followed };
        let next = starts.get(starts.partition_point(|s| *s <= time.at));
        time.until = match (time.until, next) {
            (Some(until), Some(next)) => Some(until.min(*next)),
            (until, _) => until,
        };
    }
    (!times.is_empty()).then_some(PhraseRow { times, content: RowContent::Music(row, content) })
}

/// One hit of what is struck at one time, as far as a row can name it.
fn joined(now: &[&LimbNote], row: &HitsRow, kit: &Kit) -> Option<CellHit> {
    let of_one = matches!(row, HitsRow::Instrument(_));
    let named = |i: &Instrument| i.letter.is_some() != of_one;
    let mut strikes = LimbStrikes::new();
    for strike in now.iter().flat_map(|note| &note.strikes) {
        let known = kit.get(strike.instrument).is_some_and(named);
        if !known || strikes.iter().any(|b| b.instrument == strike.instrument) {
            continue;
        }
        strikes.push(LimbStrike {
            instrument: strike.instrument,
            limb: match row {
                HitsRow::Limb(limb) => *limb,
                HitsRow::Play | HitsRow::Band | HitsRow::Instrument(_) => {
                    kit.limb(strike.instrument)
                }
            },
            accent: strike.accent,
            ghost: strike.ghost,
            choked: false,
        });
    }
    if strikes.is_empty() {
        let slash = !of_one && now.iter().all(|note| note.is_slash());
        return slash.then(CellHit::default);
    }
    if now.iter().any(|n| n.strikes.iter().any(|b| b.choked)) {
        // A hand that chokes a cymbal leaves the drums of the hit alone.
        let rings = |strike: &LimbStrike| kit.get(strike.instrument).is_some_and(|i| i.rings);
        let any = strikes.iter().any(rings);
        strikes.iter_mut().for_each(|strike| strike.choked = !any || rings(strike));
    }
    let most = |f: fn(&LimbNote) -> u8| now.iter().map(|n| f(n)).max().unwrap_or(0);
    let strokes = most(|n| n.strokes);
    let buzz = now.iter().any(|n| n.buzz) && strokes == 0;
    let touch = now.iter().map(|n| n.touch).fold(Touch::default(), Touch::with);
    let roll = touch.roll.filter(|_| strokes > 0 || buzz);
    Some(CellHit {
        strikes,
        grace: now.iter().fold(Grace::default(), |all, n| all.most(n.grace)),
        strokes,
        buzz,
        touch: Touch { roll, ..touch },
    })
}

/// Bars of a phrase in one time signature, up to where a key says something new.
pub(crate) struct Set {
    pub(crate) bars: Range<usize>,
    /// Whether it begins with another time signature than the set before.
    pub(crate) changes_time: bool,
    /// From the start of the phrase.
    pub(crate) start: Time,
    pub(crate) end: Time,
}

/// The sets of a phrase.
pub(crate) fn sets(phrase: &Phrase) -> Vec<Set> {
    let mut sets: Vec<Set> = Vec::new();
    let mut meter: Option<&Meter> = None;
    let mut at = Time::ZERO;
    for (index, bar) in phrase.bars.iter().enumerate() {
        let start = at;
        at += bar.length;
        match sets.last_mut() {
            Some(set)
                if meter.is_some_and(|meter| meter.is_same_time(&bar.meter))
                    && !phrase.attached.says_by_key(start) =>
            {
                set.bars.end = index + 1;
                set.end = at;
            }
            _ => sets.push(Set {
                bars: index..index + 1,
                changes_time: index > 0 && meter != Some(&*bar.meter),
                start,
                end: at,
            }),
        }
        meter = Some(&*bar.meter);
    }
    sets
}

impl Set {
    /// The rows that a set has: those that begin anything in it, and where none does, a silent one.
    pub(crate) fn rows<'r>(&self, rows: &'r [PhraseRow]) -> impl Iterator<Item = &'r PhraseRow> {
        let (start, end) = (self.start, self.end);
        let silent = !rows.iter().any(|row| row.begins_in(start, end));
        rows.iter().filter(move |row| row.begins_in(start, end) || (silent && row.is_music()))
    }
}

/// Where a phrase can't be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct TooFine {
    /// Bar, from 1.
    pub(crate) bar: usize,
    /// Beat or group of the bar, from 1.
    pub(crate) beat: usize,
}

/// A group of cells: the stretch of time it fills, how many beats that is, and its cells.
pub(crate) struct BeatCells {
    pub(crate) start: Time,
    pub(crate) length: Time,
    pub(crate) beats: usize,
    pub(crate) cells: Vec<RowCell>,
    /// How many of them stand before the barline that it goes on over.
    pub(crate) before_line: Option<usize>,
}

/// The groups of one row in one bar, which begins at a time.
pub(crate) fn groups(
    phrase: &Phrase,
    row: &PhraseRow,
    (bar, start): (usize, Time),
    full_rests: bool,
    finder: &mut Finder,
) -> Result<Vec<BeatCells>, TooFine> {
    let end = start + phrase.bars.get(bar).map_or(Time::ZERO, |b| b.length);
    let from = phrase.spans.partition_point(|s| s.start < start);
    let mut own = BarGroups { phrase, row, bar, start, full_rests, finder, groups: Vec::new() };
    let before = from.checked_sub(1).and_then(|last| phrase.spans.get(last));
    if let Some(span) = before.filter(|span| span.end() > start) {
        own.after_line(*span)?;
    }
    let spans = phrase.spans.get(from..).unwrap_or_default();
    for (beat, span) in spans.iter().take_while(|s| s.start < end).enumerate() {
        match span.end() <= end {
            true => own.inside(*span, beat)?,
            false => own.before_line(*span, end)?,
        }
    }
    Ok(own.groups)
}

/// The groups of a row in a bar, as they are found.
struct BarGroups<'a> {
    phrase: &'a Phrase,
    row: &'a PhraseRow,
    /// The bar, from 0, and when it begins.
    bar: usize,
    start: Time,
    full_rests: bool,
    finder: &'a mut Finder,
    groups: Vec<BeatCells>,
}

impl BarGroups<'_> {
    fn push(&mut self, (start, length): (Time, Time), beats: usize, cells: Vec<RowCell>) {
        self.groups.push(BeatCells { start, length, beats, cells, before_line: None });
    }

    fn inside(&mut self, span: GridSpan, beat: usize) -> Result<(), TooFine> {
        let stretch = (span.start, span.length);
        let cells = self.cells(stretch, beat)?;
        self.push(stretch, span.beats, cells);
        Ok(())
    }

    /// What the bar has of a group that began before it.
    fn after_line(&mut self, span: GridSpan) -> Result<(), TooFine> {
        let stretch = (self.start, span.end() - self.start);
        match across::cells(&self.row.times, span, self.start, self.full_rests, self.finder) {
            Some((mut cells, before)) if !self.row.is_music() => {
                self.push(stretch, 1, cells.split_off(before));
                Ok(())
            }
            // The bar before has the whole of it.
            Some(_) => Ok(()),
            None => self.by_beats(stretch),
        }
    }

    /// What the bar, which ends at a time, has of a group that goes on after it.
    fn before_line(&mut self, span: GridSpan, end: Time) -> Result<(), TooFine> {
        let stretch = (span.start, end - span.start);
        match across::cells(&self.row.times, span, end, self.full_rests, self.finder) {
            Some((mut cells, before)) if !self.row.is_music() => {
                cells.truncate(before);
                self.push(stretch, 1, cells);
            }
            Some((cells, before)) => {
                let (start, length, beats) = (span.start, span.length, span.beats);
                let before_line = Some(before);
                self.groups.push(BeatCells { start, length, beats, cells, before_line });
            }
            None => self.by_beats(stretch)?,
        }
        Ok(())
    }

    /// The beats of a stretch of the bar, a group for each.
    fn by_beats(&mut self, (from, length): (Time, Time)) -> Result<(), TooFine> {
        let Some(own) = self.phrase.bars.get(self.bar) else { return Ok(()) };
        let to = from + length;
        let mut at = self.start - own.offset;
        for (beat, length) in own.meter.beats().into_iter().enumerate() {
            let (start, end) = (at.max(from), (at + length).min(to));
            at += length;
            if start < end {
                let cells = self.cells((start, end - start), beat)?;
                self.push((start, end - start), 1, cells);
            }
        }
        Ok(())
    }

    fn cells(&mut self, stretch: (Time, Time), beat: usize) -> Result<Vec<RowCell>, TooFine> {
        let cells = self.finder.cells(&self.row.times, stretch, self.full_rests);
        cells.ok_or(TooFine { bar: self.bar + 1, beat: beat + 1 })
    }
}

/// Whether every beat of a phrase can be written.
pub(crate) fn check(
    phrase: &Phrase,
    kit: &Kit,
    full_rests: bool,
    finder: &mut Finder,
) -> Result<(), TooFine> {
    let rows = rows(phrase, kit);
    for set in sets(phrase) {
        for row in set.rows(&rows) {
            let mut at = set.start;
            for bar in set.bars.clone() {
                groups(phrase, row, (bar, at), full_rests, finder)?;
                at += phrase.bars.get(bar).map_or(Time::ZERO, |b| b.length);
            }
        }
    }
    Ok(())
}
