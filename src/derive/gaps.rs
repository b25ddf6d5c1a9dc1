//! Gaps filled. A gap is a silent cell of the beat's subdivision.

use super::phrase::{GridSpan, LimbNote, Phrase};
use crate::score::kit::Limb;
use crate::score::{Grace, Time};

/// The most a beat is divided where the division is taken from its neighbours.
const FINEST: i64 = 8;

/// The subdivision each beat is felt in: its own, or a finer one of the phrase that holds its own.
/// A beat of one note takes the one most beats have; a beat in halves the finest in halves.
pub(crate) fn felt(phrase: &Phrase) -> Vec<GridSpan> {
    let mut found: Vec<i64> =
        phrase.spans.iter().filter(|s| s.beats == 1).map(|s| s.parts).collect();
    found.retain(|n| (2..=FINEST).contains(n));
    let often = |n: i64| found.iter().filter(|m| **m == n).count();
    let most = found.iter().copied().max_by_key(|n| (often(*n), *n)).unwrap_or(1);
    let feel = |parts: i64| match parts {
        1 if most.count_ones() == 1 => found.iter().copied().filter(|n| n.count_ones() == 1).max(),
        1 => Some(most),
        n if n.count_ones() == 1 => {
            found.iter().copied().filter(|m| m.count_ones() == 1 && *m >= n).max()
        }
        n => found.iter().copied().filter(|m| m % n == 0).max(),
    };
    phrase
        .spans
        .iter()
        .map(|span| match span.beats {
            1 => GridSpan { parts: feel(span.parts).unwrap_or(span.parts), ..*span },
            _ => *span,
        })
        .collect()
}

/// Feels the beats in so many parts that have all their notes on them; whether there is one.
pub(crate) fn feel_in(phrase: &Phrase, grid: &mut [GridSpan], parts: i64) -> bool {
    let mut any = false;
    for (felt, own) in grid.iter_mut().zip(&phrase.spans) {
        if own.beats == 1 && parts % own.parts == 0 {
            felt.parts = parts;
            any = true;
        }
    }
    any
}

/// Silent cells: their starts and lengths. A held note is no gap.
pub(crate) fn find(phrase: &Phrase, grid: &[GridSpan]) -> Vec<(Time, Time)> {
    let starts: Vec<Time> = phrase.notes.iter().map(|n| n.at).collect();
    let mut gaps = Vec::new();
    for span in grid {
        let cell = span.cell();
        for part in 0..span.parts {
            let at = span.start + cell * part;
            let index = starts.partition_point(|s| *s < at);
            let struck = starts.get(index).is_some_and(|s| *s < at + cell);
            let before = &phrase.notes[..index];
            let held = before.iter().rev().take(2).any(|n| n.until.is_some_and(|u| u > at));
            if !struck && !held {
                gaps.push((at, cell));
            }
        }
    }
    gaps
}

/// Gives grace notes to the notes of the hands after gaps that have none; returns how many.
pub(crate) fn lead_in(phrase: &mut Phrase, gaps: &[(Time, Time)], grace: u8) -> usize {
    let mut count = 0;
    for note in &mut phrase.notes {
        let after = gaps.iter().any(|(at, cell)| *at + *cell == note.at);
        if after && note.limb == Limb::Hands && note.grace.is_none() {
            note.set_grace(Grace::same(grace));
            count += 1;
        }
    }
    count
}

/// Fills the gaps with notes, which have their times from zero to one quarter, as if the gap were a
/// quarter. Notes that are there stay as they are. Returns how many gaps were filled.
pub(crate) fn fill(phrase: &mut Phrase, gaps: &[(Time, Time)], notes: &[LimbNote]) -> usize {
    for (at, cell) in gaps {
        let place = |t: Time| *at + *cell * t.ratio(Time::QUARTER);
        phrase.notes.extend(notes.iter().map(|note| LimbNote {
            at: place(note.at),
            until: note.until.map(place),
            ..note.clone()
        }));
    }
    phrase.sort();
    gaps.len()
}
