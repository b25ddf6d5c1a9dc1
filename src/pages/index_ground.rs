//! What an index is set from.

use super::labels::Labels;
use crate::rope::Rope;
use crate::score::{Item, PlacedBlock, Score};
use std::sync::Arc;

/// All that the pages of an index depend on.
#[derive(Clone, Debug, Default)]
pub struct IndexGround {
    items: Rope<Item>,
    /// The page of each item that is a block.
    pub stands_on: Arc<[Option<usize>]>,
    /// How pages are numbered.
    pub labels: Labels,
}

impl IndexGround {
    /// What the index of a score is set from; `stands_on` is the page of each item that is a block.
    pub fn of(score: &Score, stands_on: Arc<[Option<usize>]>, labels: Labels) -> Self {
        Self { items: score.items.clone(), stands_on, labels }
    }

    /// Whether an index lists the same on the same pages.
    pub fn is_as(&self, other: &Self) -> bool {
        (self.labels, &self.stands_on) == (other.labels, &other.stands_on) && self.lists_as(other)
    }

    /// Whether an index lists the same.
    pub fn lists_as(&self, other: &Self) -> bool {
        let change = self.items.changed_from(&other.items, Item::is);
        let own = self.items.range(change.new.clone()).map(Item::block);
        let its = other.items.range(change.old.clone()).map(Item::block);
        change.new.len() == change.old.len() && own.zip(its).all(|(own, its)| is_as(own, its))
    }
}

/// Whether an index says the same of two blocks.
fn is_as(own: Option<&PlacedBlock>, its: Option<&PlacedBlock>) -> bool {
    let (Some(own), Some(its)) = (own, its) else { return own.is_none() && its.is_none() };
    own.number.is_some() == its.number.is_some()
        && (Arc::ptr_eq(&own.block, &its.block)
            || ((&own.title, &own.parent, &own.name) == (&its.title, &its.parent, &its.name)
                && own.settings.tags == its.settings.tags
                && own.settings.level == its.settings.level))
}
