//! Words that refer to blocks, set again in their column where page numbers have too little room.

use super::column::ColumnPiece;
use super::reference::Answers;
use crate::rope::{Change, Rope};
use crate::score::{Item, Reference};
use std::collections::HashSet;
use std::ops::Range;
use std::sync::Arc;

/// A column in which words refer to blocks.
#[derive(Clone, Debug)]
pub struct Referring {
    /// Its pieces.
    pub pieces: Rope<ColumnPiece>,
    /// The words, in order.
    pub words: Vec<ReferringWords>,
}

/// Words that refer to blocks.
#[derive(Clone, Debug)]
pub struct ReferringWords {
    /// The item that they are, by its index.
    pub item: usize,
    /// The pieces that they became.
    pub pieces: Range<usize>,
    /// The keys of what they refer to.
    pub keys: Arc<[String]>,
}

impl ReferringWords {
    /// The words of an item that became these pieces; nothing where they refer to nothing.
    pub fn of((index, item): (usize, &Item), pieces: Range<usize>) -> Option<Self> {
        let keys: Arc<[String]> = item.references().into_iter().map(Reference::key).collect();
        (!keys.is_empty()).then_some(Self { item: index, pieces, keys })
    }

    /// The same, with so many more items and pieces before them.
    pub fn moved(&self, items: isize, pieces: isize) -> Self {
        Self {
            item: self.item.saturating_add_signed(items),
            pieces: further_on(&self.pieces, pieces),
            keys: self.keys.clone(),
        }
    }
}

/// A range of pieces so many further on.
fn further_on(pieces: &Range<usize>, by: isize) -> Range<usize> {
    pieces.start.saturating_add_signed(by)..pieces.end.saturating_add_signed(by)
}

/// Which of these words refer to something of these keys, by their places in the list.
pub fn mentioning(words: &[ReferringWords], keys: &HashSet<&str>) -> Vec<usize> {
    if keys.is_empty() {
        return Vec::new();
    }
    let mentions = |own: &ReferringWords| own.keys.iter().any(|key| keys.contains(key.as_str()));
    let mentioning = words.iter().enumerate().filter(|(_, own)| mentions(own));
    mentioning.map(|(nth, _)| nth).collect()
}

/// One of the times that words of a column were set again.
#[derive(Debug)]
pub struct Pass {
    before: Referring,
    answers: Arc<Answers>,
    after: Referring,
}

impl Pass {
    /// A column before and after its words were set with these answers.
    pub fn new(before: Referring, answers: Arc<Answers>, after: &Referring) -> Self {
        Self { before, answers, after: after.clone() }
    }

    /// What words were set with.
    pub fn answers(&self) -> &Arc<Answers> {
        &self.answers
    }

    /// What a column comes to which mostly is as this was before, and those of its words that are still to
    /// be set, by their places in the list; nothing where it is too unlike.
    pub fn carried(
        &self,
        column: &Referring,
        answers: &Answers,
    ) -> Option<(Referring, Vec<usize>)> {
        let (old, all) = (&self.before.words, &column.words);
        let mut words = Vec::with_capacity(all.len());
        let mut todo: Vec<usize> = Vec::new();
        let mut replaced: Vec<(Range<usize>, Vec<ColumnPiece>)> = Vec::new();
        // The words that come next, as they were and as they are, and how far pieces have moved.
        let (mut then, mut now, mut moved) = (0, 0, 0_isize);
        let carry = |then: Range<usize>, now: Range<usize>, moved: isize| {
            let (old, new) = (self.after.words.get(then)?, all.get(now)?);
            (old.len() == new.len()).then(|| {
                old.iter().zip(new).map(move |(old, new)| {
                    let pieces = further_on(&old.pieces, moved);
                    ReferringWords { pieces, ..new.clone() }
                })
            })
        };
        let changes = column.pieces.changes_from(&self.before.pieces, ColumnPiece::is_as);
        for change in whole_words(changes, old, all) {
            let (Range { start: old_first, end: old_last }, Range { start: first, end: last }) =
                (inside(old, &change.old), inside(all, &change.new));
            words.extend(carry(then..old_first, now..first, moved)?);
            let start = self.after_place(change.old.start, old_first);
            let end = self.after_place(change.old.end, old_last);
            let by = start as isize - change.new.start as isize + moved;
            words.extend(all.get(first..last)?.iter().map(|own| own.moved(0, by)));
            todo.extend(first..last);
            moved += change.new.len() as isize - (end - start) as isize;
            let new = column.pieces.range(change.new.clone()).cloned().collect();
            replaced.push((start..end, new));
            (then, now) = (old_last, last);
        }
        words.extend(carry(then..old.len(), now..all.len(), moved)?);
        let pieces = self.after.pieces.replaced(replaced);
        todo.extend(mentioning(&words, &answers.changed_from(&self.answers)));
        todo.sort_unstable();
        todo.dedup();
        Some((Referring { pieces, words }, todo))
    }

    /// Where a piece stands after the words were set of which so many stand before it.
    fn after_place(&self, piece: usize, words: usize) -> usize {
        let last = words.checked_sub(1);
        let ends =
            last.and_then(|last| Some((self.before.words.get(last)?, self.after.words.get(last)?)));
        ends.map_or(piece, |(before, after)| piece - before.pieces.end + after.pieces.end)
    }
}

/// Which of these words lie in a range of pieces that parts none of them.
fn inside(words: &[ReferringWords], pieces: &Range<usize>) -> Range<usize> {
    let first = words.partition_point(|own| own.pieces.end <= pieces.start);
    let last = words.partition_point(|own| own.pieces.start < pieces.end);
    first..last.max(first)
}

/// Changes that part none of these words and lie apart.
fn whole_words(
    changes: Vec<Change>,
    old: &[ReferringWords],
    new: &[ReferringWords],
) -> Vec<Change> {
    /// How far a place lies from the start and the end of the words it is inside of.
    fn parted(words: &[ReferringWords], at: usize) -> (usize, usize) {
        let own = words.get(words.partition_point(|own| own.pieces.end <= at));
        let own = own.map(|own| &own.pieces).filter(|pieces| pieces.start < at);
        own.map_or((0, 0), |pieces| (at - pieces.start, pieces.end - at))
    }
    let mut whole: Vec<Change> = Vec::with_capacity(changes.len());
    for change in changes {
        let before = parted(old, change.old.start).0.max(parted(new, change.new.start).0);
        let after = parted(old, change.old.end).1.max(parted(new, change.new.end).1);
        let change = Change {
            old: change.old.start - before..change.old.end + after,
            new: change.new.start - before..change.new.end + after,
        };
        match whole.last_mut().filter(|last| last.old.end > change.old.start) {
            // Both are in the same words.
            Some(last) => {
                last.old.end = last.old.end.max(change.old.end);
                last.new.end = last.new.end.max(change.new.end);
            }
            None => whole.push(change),
        }
    }
    whole
}
