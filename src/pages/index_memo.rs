//! An index that was set before.

use super::column::ColumnPiece;
use super::index::{IndexEntry, IndexList};
use super::index_ground::IndexGround;
use super::labels::Labels;
use super::piece::Piece;
use super::prose::ProseLine;
use crate::parallel::{Each, give_up};
use std::collections::HashMap;
use std::sync::Arc;

/// What an index was set as. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct IndexMemo {
    keeps: bool,
    known: Option<SetIndex>,
}

/// An index, set.
#[derive(Debug)]
pub struct SetIndex {
    /// What it was set from.
    pub ground: IndexGround,
    /// Its lists.
    pub lists: Arc<[IndexList]>,
    /// The entries of each.
    pub entries: Vec<Vec<SetEntry>>,
    /// Its columns from the first page to the last.
    pub columns: Vec<SetColumns>,
    /// Its pages.
    pub pages: Vec<Vec<ColumnPiece>>,
}

/// An entry as it is set.
#[derive(Clone, Debug)]
pub struct SetEntry {
    /// Blocks, and the pages they stand on.
    pub stands: Vec<(usize, usize)>,
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
    /// What is known of entries: by their places where the lists are the very same, else by their words.
    pub fn known_entries(&self, lists: &Arc<[IndexList]>) -> KnownEntries<'_> {
        let by_words = || {
            let entry = |(list, entries): (&'_ IndexList, &'_ Vec<SetEntry>)| {
                let words = list.entries.iter().map(|entry| (list.title, entry.words.clone()));
                words.zip(entries.iter().cloned()).collect::<Vec<_>>()
            };
            self.lists.iter().zip(&self.entries).flat_map(entry).collect()
        };
        let same = Arc::ptr_eq(lists, &self.lists);
        KnownEntries {
            labels: self.ground.labels,
            by_place: if same { &self.entries } else { &[] },
            by_words: if same { HashMap::new() } else { by_words() },
        }
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

/// Entries that were set before.
#[derive(Debug, Default)]
pub struct KnownEntries<'a> {
    labels: Labels,
    by_place: &'a [Vec<SetEntry>],
    by_words: HashMap<(&'static str, String), SetEntry>,
}

impl KnownEntries<'_> {
    /// The lines of an entry, by its place in its list, whose blocks stood on the same pages.
    pub fn get(
        &self,
        (list, place): (usize, usize),
        (title, entry): (&'static str, &IndexEntry),
        (stands, labels): (&[(usize, usize)], Labels),
    ) -> Option<Arc<[ProseLine]>> {
        if labels != self.labels {
            return None;
        }
        let known = match self.by_place.get(list) {
            Some(entries) => entries.get(place)?,
            None if self.by_words.is_empty() => return None,
            None => self.by_words.get(&(title, entry.words.clone()))?,
        };
        (known.stands == stands).then(|| known.lines.clone())
    }
}
