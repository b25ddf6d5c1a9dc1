//! A phrase read from its other end.

use super::phrase::{GridSpan, LimbNote, Phrase};
use crate::score::Time;
use num_integer::lcm;
use std::collections::BTreeMap;

/// The grid that beats share when they are mirrored: those divided plainly have one for each length
/// of a beat, the finest; a tuplet and a group over several beats has its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum GridKey {
    Plain(Time),
    Own(usize),
}

/// A grid and what it has on it.
#[derive(Clone, Copy, Debug)]
struct SharedGrid {
    parts: i64,
    /// The parts that what is mirrored on it asks for.
    mirrored: i64,
}

impl SharedGrid {
    /// Whether the mirrored notes show the same grid, so that they can be mirrored back.
    fn stays(self) -> bool {
        self.parts == self.mirrored
    }
}

/// The last cell first: each note keeps its place on its grid, read from the other end. A held note
/// begins where it ended. Twice is as it was, also for one who sees only the notes: where the
/// mirrored cells would show a coarser grid, as of notes off the beat alone, only the beats change
/// places.
pub(crate) fn reverse(phrase: &mut Phrase) {
    let length = phrase.length();
    let divided = divided(phrase);
    let keys: Vec<GridKey> = divided.iter().enumerate().map(|(i, s)| key(i, s)).collect();
    let grids = grids(phrase, &divided, &keys);
    for at in 0..phrase.notes.len() {
        let old = phrase.notes[at].at;
        let index = phrase.span_at(old);
        let place = index.and_then(|i| Some((phrase.spans.get(i)?, grids.get(keys.get(i)?)?)));
        let Some((span, grid)) = place else { continue };
        let cell = span.length / grid.parts;
        let stays = if grid.stays() {
            length - old - cell
        } else {
            length - span.end() + (old - span.start)
        };
        let note = &mut phrase.notes[at];
        note.at = note.until.map_or(stays, |until| length - until);
        note.until = note.until.map(|_| length - old);
        // What was tied into a hit after it has that hit before it now.
        note.tied = false;
    }
    for span in &mut phrase.spans {
        span.start = length - span.end();
    }
    phrase.spans.reverse();
    let offsets: Vec<Time> =
        phrase.bars.iter().map(|b| b.meter.length() - b.offset - b.length).collect();
    for (bar, offset) in phrase.bars.iter_mut().zip(offsets) {
        bar.offset = offset;
    }
    phrase.bars.reverse();
    phrase.sort();
    phrase.divide_spans();
}

/// The beats and groups of a phrase, each with the parts on which its notes begin and held notes end.
fn divided(phrase: &Phrase) -> Vec<GridSpan> {
    let mut spans = phrase.spans.clone();
    for until in phrase.notes.iter().filter_map(|note| note.until) {
        if let Some(span) = phrase.span_at(until).and_then(|index| spans.get_mut(index)) {
            span.parts = lcm(span.parts, parts_at(span, until));
        }
    }
    spans
}

/// The fewest parts of a stretch of which one begins at a time.
fn parts_at(span: &GridSpan, at: Time) -> i64 {
    *(at - span.start).ratio(span.length).denom()
}

fn key(index: usize, span: &GridSpan) -> GridKey {
    let plain = span.parts.count_ones() == 1;
    let thirds = span.length.numerator() == 3 && span.parts % 3 == 0;
    let dotted = thirds && (span.parts / 3).count_ones() == 1;
    match span.beats == 1
        && (dotted || (plain && (span.parts == 1 || span.length.numerator() != 3)))
    {
        true => GridKey::Plain(span.length),
        false => GridKey::Own(index),
    }
}

/// The grids of a phrase, with the parts that its notes and what they become on them ask for.
fn grids(phrase: &Phrase, divided: &[GridSpan], keys: &[GridKey]) -> BTreeMap<GridKey, SharedGrid> {
    let mut grids: BTreeMap<GridKey, SharedGrid> = BTreeMap::new();
    for (span, key) in divided.iter().zip(keys) {
        let grid = grids.entry(*key).or_insert(SharedGrid { parts: 1, mirrored: 1 });
        grid.parts = lcm(grid.parts, span.parts.max(1));
    }
    // Where a held note ends it will begin.
    for until in phrase.notes.iter().filter_map(|note| note.until) {
        let Some(index) = phrase.span_at(until) else { continue };
        let (Some(span), Some(key)) = (phrase.spans.get(index), keys.get(index)) else { continue };
        if let Some(grid) = grids.get_mut(key) {
            grid.mirrored = lcm(grid.mirrored, parts_at(span, until));
        }
    }
    for note in &phrase.notes {
        let Some(index) = phrase.span_at(note.at) else { continue };
        let (Some(span), Some(key)) = (phrase.spans.get(index), keys.get(index)) else { continue };
        let Some(grid) = grids.get_mut(key) else { continue };
        grid.mirrored = lcm(grid.mirrored, mirrored_parts(note, span, grid.parts));
    }
    grids
}

/// The parts of its beat on which a note begins when it is mirrored on a grid.
fn mirrored_parts(note: &LimbNote, span: &GridSpan, parts: i64) -> i64 {
    let into = note.at - span.start;
    let place = match note.until {
        Some(_) => into,
        None => span.length - into - span.length / parts,
    };
    *place.ratio(span.length).denom()
}
