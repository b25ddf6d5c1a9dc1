//! A block begun on each of its notes in turn.

use crate::derive::phrase::Phrase;
use crate::derive::time::rotate_notes;

/// A phrase begun on each of its notes in turn, without those that sound alike; at most `most`.
pub(super) fn turns(phrase: &Phrase, most: usize) -> Vec<Phrase> {
    let mut all: Vec<Phrase> = Vec::new();
    for count in 0..phrase.notes.len().min(most) {
        let mut next = phrase.clone();
        rotate_notes(&mut next, count as i64);
        if all.iter().any(|p| p.notes == next.notes) {
            break;
        }
        all.push(next);
    }
    all
}
