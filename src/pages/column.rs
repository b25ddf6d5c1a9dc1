//! Pieces in a column: each is shared with whoever set it, and has what depends on where it stands beside
//! it.

use super::item_ids::{ItemId, ItemIds};
use super::measure::Measure;
use super::piece::{EXERCISE, OutlineHeading, Piece};
use super::reference::ReferenceTarget;
use crate::drawing::{GroupKind, Node, Prose};
use std::sync::Arc;

/// What a piece is part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartOf {
    /// An item; of blocks side by side, the first.
    Item(ItemId),
    /// The lines of the contents for an entry of the outline.
    Entry(usize),
    /// What stands around the items.
    Frame,
}

/// A piece at its place in the column.
#[derive(Clone, Debug)]
pub struct ColumnPiece {
    /// The piece.
    pub piece: Arc<Piece>,
    /// What it is part of.
    of: PartOf,
    /// How many headings and blocks it is the first line of.
    pub headed: u8,
    /// Which of the items from that one on are among these, a bit for each: the item itself, or blocks that stand
    /// side by side.
    heads: u8,
    /// Whether a heading is among these, and not blocks alone.
    words: bool,
    /// Whether it leads to an entry of the outline.
    leads: bool,
    /// Whether its words name the pages of items.
    pub numbered: bool,
    /// The same as of the piece.
    pub bare: bool,
    /// How it is broken: as the piece says, but for what depends on where it stands. It is here so that whoever goes
    /// through the column finds it at once.
    pub measure: Measure,
}

impl ColumnPiece {
    /// The same with nothing to see.
    pub fn spent(&self, nothing: &Arc<Piece>) -> Self {
        Self { piece: nothing.clone(), ..self.clone() }
    }

    /// A piece of an item.
    pub fn of_item(piece: Arc<Piece>, item: ItemId) -> Self {
        Self::new(piece, PartOf::Item(item))
    }

    /// A piece of what it is part of.
    pub fn new(piece: Arc<Piece>, of: PartOf) -> Self {
        let headed = u8::try_from(piece.headings.len()).unwrap_or(u8::MAX);
        let bit = |nth: usize| 1_u8.checked_shl(u32::try_from(nth).unwrap_or(u32::MAX));
        let items = piece.headings.iter().filter_map(|heading| heading.nth.and_then(bit));
        let heads = items.fold(0, |all, item| all | item);
        let words = piece.headings.iter().any(|heading| heading.level < EXERCISE);
        let Piece { leads, bare, .. } = *piece;
        let numbered = piece.named_pages().next().is_some();
        let measure = Measure::from(&*piece);
        Self { piece, of, headed, heads, words, leads, numbered, bare, measure }
    }

    /// The item it is part of.
    fn item(&self) -> Option<ItemId> {
        match self.of {
            PartOf::Item(item) => Some(item),
            PartOf::Entry(_) | PartOf::Frame => None,
        }
    }

    /// The block it is part of.
    pub fn block(&self) -> Option<ItemId> {
        self.item().filter(|_| self.piece.of_block)
    }

    /// Whether the exercise a reference leads to begins in it.
    pub fn begins_exercise(&self, to: ReferenceTarget) -> bool {
        let begins = |exercise| self.piece.exercises.contains(&exercise);
        self.block() == Some(to.item) && to.exercise.is_some_and(begins)
    }

    /// What its marks are together.
    pub fn said(&self, ids: &ItemIds) -> Option<Prose> {
        let said = self.piece.said.as_ref()?;
        Some(match self.of {
            PartOf::Entry(entry) => Prose::Contents { entry },
            PartOf::Item(_) => self.said_of_item(said, ids),
            PartOf::Frame => said.clone(),
        })
    }

    /// Words of its item, whatever place the item had when they were set; words beside blocks are those of
    /// the item after them.
    pub fn said_of_item(&self, said: &Prose, ids: &ItemIds) -> Prose {
        let said = said.clone();
        match self.item().and_then(|item| ids.index(item)) {
            Some(first) => said.of_item(first + self.piece.row.len()),
            None => said,
        }
    }

    /// A group of prose as part of the item this is of.
    pub fn with_item(&self, node: Node, ids: &ItemIds) -> Node {
        match node {
            Node::Group(mut group) => {
                if let GroupKind::Prose(said) = &group.kind {
                    group.kind = GroupKind::Prose(self.said_of_item(said, ids));
                }
                Node::Group(group)
            }
            Node::Mark(_) | Node::Inset(_) => node,
        }
    }

    /// The headings and the blocks it is the first line of.
    pub fn headings(&self) -> impl Iterator<Item = &OutlineHeading> {
        // Most have none, and are not looked into.
        let headings = if self.headed > 0 { self.piece.headings.as_slice() } else { &[] };
        headings.iter()
    }

    /// The item of one of these, by its index.
    pub fn index_of(&self, heading: &OutlineHeading, ids: &ItemIds) -> Option<usize> {
        Some(ids.index(self.item()?)? + heading.nth?)
    }

    /// Whether a heading is among these.
    pub fn has_words(&self) -> bool {
        self.words
    }

    /// The items among these.
    pub fn heads<'i>(&self, ids: &'i ItemIds) -> impl Iterator<Item = ItemId> + use<'i> {
        let (of, mut heads) = (self.item(), self.heads);
        // Most have none.
        std::iter::from_fn(move || {
            let nth = heads.trailing_zeros();
            heads &= heads.wrapping_sub(1);
            if nth < u8::BITS { ids.later(of?, nth as usize) } else { None }
        })
    }

    /// Whether it is the same piece at the same place, and is broken alike.
    pub fn is_as(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.piece, &other.piece)
            && (self.of, self.measure) == (other.of, other.measure)
    }

    /// Of a line of the contents, the entry of the outline that it is of.
    pub fn entry(&self) -> Option<usize> {
        match self.of {
            PartOf::Entry(entry) => Some(entry),
            PartOf::Item(_) | PartOf::Frame => None,
        }
    }

    /// The entry of the outline a line of the contents leads to.
    pub fn leads_to(&self) -> Option<usize> {
        self.entry().filter(|_| self.leads)
    }

    /// Blocks side by side, by their index among the items, and their marks.
    pub fn row(
        &self,
        ids: &ItemIds,
    ) -> impl Iterator<Item = (usize, &Arc<[crate::drawing::Node]>)> {
        let row = self.piece.row.as_slice();
        let first = self.item().filter(|_| !row.is_empty()).and_then(|item| ids.index(item));
        first.into_iter().flat_map(move |first| (first..).zip(row))
    }
}

/// What stands around the items is counted from the last numbers there are: the heading of the contents,
/// and that of the notation key before and after the items.
pub const OVER_CONTENTS: usize = usize::MAX - 2;
pub const OVER_FIRST_KEY: usize = usize::MAX - 1;
pub const OVER_LAST_KEY: usize = usize::MAX;

impl From<Piece> for ColumnPiece {
    fn from(piece: Piece) -> Self {
        Self::new(Arc::new(piece), PartOf::Frame)
    }
}
