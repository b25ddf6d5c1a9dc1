//! Words that refer to blocks, set again in their column when it is known where these stand.

use super::column::ColumnPiece;
use super::labels::Labels;
use super::reference::Answers;
use crate::rope::{Change, Rope};
use crate::score::{Item, Score};
use std::collections::HashSet;
use std::ops::Range;
use std::sync::Arc;

/// A column in which words refer to blocks.
#[derive(Clone, Debug)]
pub struct Referring {
    /// Its pieces.
    pub pieces: Rope<ColumnPiece>,
    /// The items of these words, by index, and the pieces each is.
    pub words: Vec<(usize, Range<usize>)>,
}

/// One of the times that the words of a column were set again.
#[derive(Debug)]
pub struct Pass {
    before: Referring,
    known: Known,
    after: Referring,
}

/// What was known of the places that words lead to when these were set again.
#[derive(Clone, Debug)]
pub struct Known {
    /// What was known before pages were broken.
    pub asked: Arc<Answers>,
    /// The page each item begins on.
    pub pages: Arc<[Option<usize>]>,
    /// How pages are numbered.
    pub labels: Labels,
    /// What was known then.
    pub told: Arc<Answers>,
    /// Whether the room reserved for page numbers was enough.
    pub enough: bool,
}

impl Pass {
    /// A column before and after its words were set with these answers.
    pub fn new(before: Referring, known: Known, after: &Referring) -> Self {
        Self { before, known, after: after.clone() }
    }

    /// What was known in it, where places stood on the same pages and no exercise of a series is among them.
    pub fn known(
        &self,
        asked: &Arc<Answers>,
        (pages, labels): (&[Option<usize>], Labels),
    ) -> Option<&Known> {
        let known = &self.known;
        let same = Arc::ptr_eq(&known.asked, asked)
            && known.labels == labels
            && *known.pages == *pages
            && !asked.lead_to_exercises();
        same.then_some(known)
    }

    /// What a column comes to which mostly is as this was before, and those of its words that are still to
    /// be set, by their places in the list; nothing where it is too unlike.
    pub fn carried(
        &self,
        column: &Referring,
        (score, answers): (&Score, &Arc<Answers>),
    ) -> Option<(Referring, Vec<usize>)> {
        let change = column.pieces.changed_from(&self.before.pieces, ColumnPiece::is_as);
        let change = whole_words(change, &self.before.words, &column.words);
        let before = column.words.partition_point(|(_, range)| range.end <= change.new.start);
        let until = column.words.partition_point(|(_, range)| range.start < change.new.end);
        let old_until = self.before.words.partition_point(|(_, r)| r.start < change.old.end);
        let old_until = old_until.max(before);
        let until = until.max(before);
        let rest = column.words.len() - until;
        let alike = self.before.words.get(..before).map(<[_]>::len) == Some(before)
            && self.before.words.len() - old_until.min(self.before.words.len()) == rest;
        if !alike {
            return None;
        }
        let start = self.after_place(change.old.start, before);
        let end = self.after_place(change.old.end, old_until);
        let new: Vec<ColumnPiece> = column.pieces.range(change.new.clone()).cloned().collect();
        let more = new.len() as isize - (end - start) as isize;
        let pieces = self.after.pieces.replaced([(start..end, new)]);
        let mut words: Vec<_> = self.after.words.get(..before)?.to_vec();
        let own = column.words.get(before..until)?.iter().map(|(item, range)| {
            let moved = |at: usize| at - change.new.start + start;
            (*item, moved(range.start)..moved(range.end))
        });
        words.extend(own);
        let later = self.after.words.get(old_until..)?.iter();
        let later = later.zip(column.words.get(until..)?).map(|((_, range), (item, _))| {
            let moved = |at: usize| at.saturating_add_signed(more);
            (*item, moved(range.start)..moved(range.end))
        });
        words.extend(later);
        let told = &self.known.told;
        let changed = match Arc::ptr_eq(answers, told) {
            true => HashSet::new(),
            false => answers.changed_from(told),
        };
        let todo = words.iter().enumerate().filter(|(nth, (item, _))| {
            (before..until).contains(nth) || mentions(score, *item, &changed)
        });
        let todo = todo.map(|(nth, _)| nth).collect();
        Some((Referring { pieces, words }, todo))
    }

    /// Where a piece stands after the words were set of which so many stand before it.
    fn after_place(&self, piece: usize, words: usize) -> usize {
        let last = words.checked_sub(1);
        let ends =
            last.and_then(|last| Some((self.before.words.get(last)?, self.after.words.get(last)?)));
        ends.map_or(piece, |((_, before), (_, after))| piece - before.end + after.end)
    }
}

/// A change that parts none of these words.
fn whole_words(
    change: Change,
    old: &[(usize, Range<usize>)],
    new: &[(usize, Range<usize>)],
) -> Change {
    /// How far a place lies from the start and the end of the words it is inside of.
    fn inside(words: &[(usize, Range<usize>)], at: usize) -> (usize, usize) {
        let own = words.get(words.partition_point(|(_, range)| range.end <= at));
        let own = own.filter(|(_, range)| range.start < at);
        own.map_or((0, 0), |(_, range)| (at - range.start, range.end - at))
    }
    let before = inside(old, change.old.start).0.max(inside(new, change.new.start).0);
    let after = inside(old, change.old.end).1.max(inside(new, change.new.end).1);
    Change {
        old: change.old.start - before..change.old.end + after,
        new: change.new.start - before..change.new.end + after,
    }
}

/// Whether the words of an item refer to one of these names.
fn mentions(score: &Score, item: usize, names: &HashSet<&str>) -> bool {
    if names.is_empty() {
        return false;
    }
    let references = score.items.get(item).map(Item::references).unwrap_or_default();
    references.iter().any(|reference| names.contains(&*reference.key()))
}
