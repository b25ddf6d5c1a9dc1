//! Notes moved in time.

use super::attached::Attached;
use super::phrase::{GridSpan, LimbNote, Phrase};
use crate::interpret::compose::BarFrame;
use crate::score::Time;

/// Most bars that notes may be laid over to meet a barline again.
const MOST_BARS: usize = 8;

/// All notes later by a time, or earlier where it is below zero. What passes an end of the
/// phrase comes in at the other, as in a phrase that goes round.
pub(crate) fn shift(phrase: &mut Phrase, by: Time) {
    for at in 0..phrase.notes.len() {
        let old = phrase.notes[at].at;
        let new = phrase.wrapped(old + by);
        let note = &mut phrase.notes[at];
        note.until = note.until.map(|until| new + (until - old));
        note.at = new;
    }
    phrase.sort();
    phrase.recut();
}

/// The phrase begins with its note number `count`, from zero, where its first note began; below
/// zero it counts from the end. Nothing happens to a phrase without notes.
pub(crate) fn rotate_notes(phrase: &mut Phrase, count: i64) {
    let mut starts: Vec<Time> = phrase.notes.iter().map(|n| n.at).collect();
    starts.dedup();
    if starts.is_empty() {
        return;
    }
    let index = count.rem_euclid(starts.len() as i64) as usize;
    let by = starts[0] - starts[index];
    shift(phrase, by);
}

/// Why notes can't be laid on another subdivision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unlaid {
    /// Beats are divided in ways that have no common one.
    Mixed,
    /// The time changes, or a bar is short.
    Uneven,
}

/// The same cells, `parts` to a beat. The phrase is played as often as it takes to come out on a
/// barline, and where that takes more than eight bars, once, with silence up to the barline.
/// Returns how often.
pub(crate) fn subdivide(phrase: &mut Phrase, parts: i64) -> Result<usize, Unlaid> {
    let plain = |span: &GridSpan| span.beats == 1 && parts % span.parts == 0;
    if phrase.spans.iter().all(plain) && phrase.spans.iter().any(|span| span.parts == parts) {
        return Ok(1);
    }
    let first = phrase.bars.first().ok_or(Unlaid::Uneven)?.clone();
    let whole = |b: &BarFrame| b.meter == first.meter && b.length == first.meter.length();
    if !phrase.bars.iter().all(whole) {
        return Err(Unlaid::Uneven);
    }
    let beats = phrase.beats();
    let beat = beats.first().map_or(Time::QUARTER, |b| b.1);
    if beats.iter().any(|b| b.1 != beat) {
        return Err(Unlaid::Uneven);
    }
    let finest = phrase.spans.iter().map(|s| s.parts).max().unwrap_or(1);
    let wide = |s: &GridSpan| s.beats > 1 || finest % s.parts != 0;
    if finest > 8 || phrase.spans.iter().any(wide) {
        return Err(Unlaid::Mixed);
    }
    let (old, new) = (beat / finest, beat / parts);
    let cells = beats.len() as i64 * finest;
    let bar_cells = first.meter.beats().len() as i64 * parts;
    let mut times = 1;
    while (cells * times) % bar_cells != 0 {
        times += 1;
    }
    let mut bars = (cells * times / bar_cells) as usize;
    if bars > MOST_BARS.max(phrase.bars.len()) {
        times = 1;
        bars = (cells as usize).div_ceil(bar_cells as usize);
    }
    let place = |at: Time| new * at.ratio(old);
    let mut notes: Vec<LimbNote> = Vec::new();
    for time in 0..times {
        let from = new * (cells * time);
        notes.extend(phrase.notes.iter().map(|note| LimbNote {
            at: from + place(note.at),
            until: note.until.map(|until| from + place(until)),
            ..note.clone()
        }));
    }
    let last = phrase.bars.last().map_or(first.closing, |b| b.closing);
    phrase.bars = vec![first; bars];
    if let Some(bar) = phrase.bars.last_mut() {
        bar.closing = last;
    }
    phrase.notes = notes;
    phrase.attached = Attached::default();
    phrase.sort();
    phrase.recut();
    Ok(times as usize)
}
