//! Which page everything stands on that words lead to.

use super::breaking::Leaf;
use super::column::ColumnPiece;
use super::item_ids::{ByItem, ItemIds};
use super::reference::{Answers, ReferenceTarget};
use crate::rope::Rope;
use std::collections::HashMap;
use std::sync::Arc;

/// The pages of items, by their indices.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stands {
    /// The page each block and each heading begins on.
    pub items: Arc<ByItem<usize>>,
    /// The same of exercises of a series that words lead to.
    exercises: Arc<HashMap<ReferenceTarget, usize>>,
}

impl Stands {
    /// What stands on pages of a column.
    pub fn of(
        pieces: &Rope<ColumnPiece>,
        leaves: &[Leaf],
        (ids, answers): (&ItemIds, &Answers),
    ) -> Self {
        let mut items = ByItem::default();
        let mut all = pieces.iter();
        for (page, leaf) in leaves.iter().enumerate() {
            let own = all.by_ref().take(leaf.pieces.len());
            own.flat_map(|piece| piece.heads(ids)).for_each(|item| items.put(item, page));
        }
        let exercises = answers.targets().filter(|to| to.exercise.is_some());
        let exercises = exercises.filter_map(|to| {
            let first = *items.get(to.item)?;
            Some((to, page_of_exercise(to, first, pieces, leaves).unwrap_or(first)))
        });
        let exercises = Arc::new(exercises.collect());
        Self { items: Arc::new(items), exercises }
    }

    /// The page a place stands on.
    pub fn page_of(&self, to: ReferenceTarget) -> Option<usize> {
        match to.exercise {
            None => self.items.get(to.item).copied(),
            Some(_) => self.exercises.get(&to).copied(),
        }
    }
}

/// The page an exercise begins on, `first` being that of its block.
fn page_of_exercise(
    to: ReferenceTarget,
    first: usize,
    pieces: &Rope<ColumnPiece>,
    leaves: &[Leaf],
) -> Option<usize> {
    let on = |leaf: &Leaf| pieces.range(leaf.pieces.clone());
    let is_of_it = |piece: &&ColumnPiece| piece.block() == Some(to.item);
    let with_block = leaves.iter().enumerate().skip(first);
    let mut with_block = with_block.take_while(|(_, leaf)| on(leaf).any(|piece| is_of_it(&piece)));
    let found = with_block
        .find(|(_, leaf)| on(leaf).filter(is_of_it).any(|piece| piece.begins_exercise(to)));
    found.map(|(page, _)| page)
}
