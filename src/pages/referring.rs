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
        let mut carrying = Carrying::new(self, column);
        let changes = column.pieces.changes_from(&self.before.pieces, ColumnPiece::is_as);
        for change in whole_words(changes, &self.before.words, &column.words) {
            carrying.change(change)?;
        }
        let ends = (self.before.words.len(), column.words.len());
        carrying.carry(ends)?;
        let Carrying { words, mut todo, replaced, .. } = carrying;
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

/// A pass while it is carried over to another column, from its start to its end.
struct Carrying<'a> {
    pass: &'a Pass,
    column: &'a Referring,
    /// The words so far.
    words: Vec<ReferringWords>,
    /// Those of them that are to be set, by their places in the list.
    todo: Vec<usize>,
    /// Pieces of the pass that others take the place of.
    replaced: Vec<(Range<usize>, Vec<ColumnPiece>)>,
    /// The words that come next, in the column of the pass and in this one.
    next: (usize, usize),
    /// How far pieces have moved.
    moved: isize,
}

impl<'a> Carrying<'a> {
    /// At the start.
    fn new(pass: &'a Pass, column: &'a Referring) -> Self {
        let words = Vec::with_capacity(column.words.len());
        let (todo, replaced) = (Vec::new(), Vec::new());
        Self { pass, column, words, todo, replaced, next: (0, 0), moved: 0 }
    }

    /// Carries the words over up to these, which are the same in both columns; nothing where there aren't as many of
    /// them in one as in the other.
    fn carry(&mut self, (then, now): (usize, usize)) -> Option<()> {
        let old = self.pass.after.words.get(self.next.0..then)?;
        let new = self.column.words.get(self.next.1..now)?;
        let carried = old.iter().zip(new).map(|(old, new)| ReferringWords {
            pieces: further_on(&old.pieces, self.moved),
            ..new.clone()
        });
        self.words.extend(carried);
        (old.len() == new.len()).then_some(())
    }

    /// Carries the words over up to a change, and takes what is new in it, whose words are to be set.
    fn change(&mut self, Change { old, new }: Change) -> Option<()> {
        let all = &self.column.words;
        let (gone, own) = (inside(&self.pass.before.words, &old), inside(all, &new));
        self.carry((gone.start, own.start))?;
        let start = self.pass.after_place(old.start, gone.start);
        let end = self.pass.after_place(old.end, gone.end);
        let by = start as isize - new.start as isize + self.moved;
        self.words.extend(all.get(own.clone())?.iter().map(|own| own.moved(0, by)));
        self.todo.extend(own.clone());
        self.moved += new.len() as isize - (end - start) as isize;
        let pieces = self.column.pieces.range(new).cloned().collect();
        self.replaced.push((start..end, pieces));
        self.next = (gone.end, own.end);
        Some(())
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
