//! An index that was set before.

use super::column::ColumnPiece;
use super::index_lists::{IndexEntry, IndexList, IndexLists};
use super::item_ids::{ByItem, ChangedItems, ItemId, ItemIds};
use super::labels::Labels;
use super::piece::Piece;
use super::prose::ProseLine;
use crate::parallel::{Each, give_up};
use crate::score::Score;
use std::cmp::Ordering;
use std::sync::Arc;

/// What an index was set as. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct IndexMemo {
    keeps: bool,
    known: Option<SetIndex>,
}

/// All that the pages of an index depend on.
#[derive(Clone, Debug)]
pub struct IndexGround {
    /// What it lists.
    pub lists: IndexLists,
    /// The page of each item that is a block.
    pub stands_on: Arc<ByItem<usize>>,
    /// How pages are numbered.
    pub labels: Labels,
}

impl IndexGround {
    /// Whether an index lists the same on the same pages.
    pub fn is_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(self.lists.lists(), other.lists.lists())
            && (self.labels, &self.stands_on) == (other.labels, &other.stands_on)
    }
}

/// An index, set.
#[derive(Debug)]
pub struct SetIndex {
    /// What it was set from.
    pub ground: IndexGround,
    /// The entries of each list.
    pub entries: Vec<Vec<Arc<SetEntry>>>,
    /// Its columns from the first page to the last.
    pub columns: Vec<SetColumns>,
    /// Its pages.
    pub pages: Vec<Vec<ColumnPiece>>,
}

/// An entry as it is set.
#[derive(Debug)]
pub struct SetEntry {
    /// Blocks, and the pages they stand on.
    pub stands: Vec<(ItemId, usize)>,
    /// Its lines.
    pub lines: Arc<[ProseLine]>,
}

/// Columns side by side.
#[derive(Clone, Debug)]
pub struct SetColumns {
    /// All lines, column by column.
    pub lines: Vec<IndexLine>,
    /// How many go into each.
    pub taken: Vec<usize>,
    /// As a piece.
    pub piece: Arc<Piece>,
}

/// A line of a column.
#[derive(Clone, Debug)]
pub struct IndexLine {
    /// Those of its entry, and which of them it is.
    pub lines: Arc<[ProseLine]>,
    /// Which of them.
    pub nth: usize,
    /// How far it is indented.
    pub indent: f64,
    /// Room over it, but at the head of a column.
    pub before: f64,
    /// Whether its entry begins with it.
    pub begins: bool,
}

impl IndexLine {
    /// Whether it is the very same line with as much room over it.
    fn is_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.lines, &other.lines)
            && (self.nth, self.before) == (other.nth, other.before)
    }
}

impl IndexMemo {
    /// One that keeps what is set.
    pub fn keeping() -> Self {
        Self { keeps: true, known: None }
    }

    /// What the index of a score lists, whose items changed so.
    pub fn lists(
        &self,
        score: &Score,
        (ids, changed): (&ItemIds, Option<&ChangedItems>),
    ) -> IndexLists {
        let known = self.known.as_ref().zip(changed);
        let again =
            |(known, changed): (&SetIndex, _)| known.ground.lists.again((score, ids), changed);
        known.and_then(again).unwrap_or_else(|| IndexLists::of(score, ids))
    }

    /// What was set before.
    pub fn take(&mut self) -> Option<SetIndex> {
        self.known.take()
    }

    /// Keeps what is set, or gives it up.
    pub fn keep(&mut self, set: SetIndex) {
        if self.keeps {
            self.known = Some(set);
        } else {
            give_up(Each::Small, set.entries.iter().map(Vec::len).sum(), set);
        }
    }
}

impl SetIndex {
    /// What was set of the entries of a list, one by one.
    pub fn known_entries(&self, list: &IndexList, labels: Labels) -> Vec<Option<&Arc<SetEntry>>> {
        let lists = self.ground.lists.lists().iter().zip(&self.entries);
        let known = lists.filter(|_| labels == self.ground.labels);
        let mut known = known.filter(|(known, _)| known.title == list.title).flat_map(pairs);
        let mut next = known.next();
        let known = |entry: &Arc<IndexEntry>| loop {
            let (own, set) = next?;
            if Arc::ptr_eq(own, entry) {
                next = known.next();
                return Some(set);
            }
            match own.order.cmp(&entry.order) {
                Ordering::Less => next = known.next(),
                Ordering::Equal => return (own.words == entry.words).then_some(set),
                Ordering::Greater => return None,
            }
        };
        list.entries.iter().map(known).collect()
    }

    /// Columns that were set of these lines, the next of all.
    pub fn known_columns(
        &self,
        nth: usize,
        lines: &[IndexLine],
        taken: &[usize],
    ) -> Option<Arc<Piece>> {
        let known = self.columns.get(nth)?;
        let same = known.lines.len() == lines.len()
            && known.taken == taken
            && known.lines.iter().zip(lines).all(|(known, line)| known.is_as(line));
        same.then(|| known.piece.clone())
    }
}

/// The entries of a list, and what was set of them.
fn pairs<'i>(
    (list, set): (&'i IndexList, &'i Vec<Arc<SetEntry>>),
) -> impl Iterator<Item = (&'i Arc<IndexEntry>, &'i Arc<SetEntry>)> {
    list.entries.iter().zip(set)
}
