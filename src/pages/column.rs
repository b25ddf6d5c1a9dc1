//! Pieces in a column: each is shared with whoever set it, and has what depends on where it stands beside
//! it.

use super::piece::{Bond, Opens, OutlineHeading, Piece, Turn};
use super::reference::ReferenceTarget;
use crate::drawing::Prose;
use std::sync::Arc;

/// A piece at its place in the column.
#[derive(Clone, Debug)]
pub struct ColumnPiece {
    /// The piece.
    pub piece: Arc<Piece>,
    /// The index of the item it is part of, of blocks side by side the first; of a line of the contents,
    /// the entry of the outline it leads to; zero of what stands around the items.
    of: usize,
    /// Whether it is the first line of a heading or of a block.
    headed: bool,
    /// What the piece says of itself, here so that whoever goes through the column finds it at once.
    pub height: f64,
    /// The same, but where it is changed.
    pub before: f64,
    /// The same.
    pub elastic: bool,
    /// The same.
    pub begins: bool,
    /// The same, but where it is changed.
    pub keep_with_next: bool,
    /// The same, but where it is changed.
    pub bond: Bond,
    /// The same, but where it is changed.
    pub opens: Opens,
    /// The same.
    pub turn: Turn,
}

impl ColumnPiece {
    /// A piece of an item or of an entry of the outline.
    pub fn new(piece: Arc<Piece>, of: usize) -> Self {
        let Piece { height, before, elastic, begins, keep_with_next, bond, opens, turn, .. } =
            *piece;
        let headed = !piece.headings.is_empty();
        Self {
            piece,
            of,
            headed,
            height,
            before,
            elastic,
            begins,
            keep_with_next,
            bond,
            opens,
            turn,
        }
    }

    /// The block it is part of, by its index among the items.
    pub fn block(&self) -> Option<usize> {
        self.piece.of_block.then_some(self.of)
    }

    /// Whether the exercise a reference leads to begins in it.
    pub fn begins_exercise(&self, to: ReferenceTarget) -> bool {
        let begins = |exercise| self.piece.exercises.contains(&exercise);
        self.block() == Some(to.item) && to.exercise.is_some_and(begins)
    }

    /// What its marks are together.
    pub fn said(&self) -> Option<Prose> {
        Some(match self.piece.said.as_ref()? {
            Prose::Contents { .. } => Prose::Contents { entry: self.of },
            Prose::Heading { item, .. } if *item > LAST_ITEM => return self.piece.said.clone(),
            said => said.clone().of_item(self.of),
        })
    }

    /// Words of its item, whatever place the item had when they were set; words beside blocks are those of
    /// the item after them.
    pub fn said_of_item(&self, said: &Prose) -> Prose {
        said.clone().of_item(self.of + self.piece.row.len())
    }

    /// The headings and the blocks it is the first line of; blocks by their index among the items.
    pub fn headings(&self) -> impl Iterator<Item = (&OutlineHeading, Option<usize>)> {
        // Most have none, and are not looked into.
        let headings = if self.headed { self.piece.headings.as_slice() } else { &[] };
        headings.iter().map(|heading| (heading, heading.nth.map(|nth| self.of + nth)))
    }

    /// The entry of the outline a line of the contents leads to.
    pub fn leads_to(&self) -> Option<usize> {
        self.piece.leads.then_some(self.of)
    }

    /// Blocks side by side, by their index among the items, and their marks.
    pub fn row(&self) -> impl Iterator<Item = (usize, &Arc<[crate::drawing::Node]>)> {
        self.piece.row.iter().enumerate().map(|(nth, nodes)| (self.of + nth, nodes))
    }
}

/// What stands around the items is counted from the last numbers there are: the heading of the contents,
/// and that of the notation key before and after the items.
pub const OVER_CONTENTS: usize = usize::MAX - 2;
pub const OVER_FIRST_KEY: usize = usize::MAX - 1;
pub const OVER_LAST_KEY: usize = usize::MAX;
const LAST_ITEM: usize = usize::MAX - 3;

impl From<Piece> for ColumnPiece {
    fn from(piece: Piece) -> Self {
        Self::new(Arc::new(piece), 0)
    }
}
