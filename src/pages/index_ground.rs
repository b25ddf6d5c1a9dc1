//! What an index is set from.

use super::item;
use super::labels::Labels;
use crate::score::{PlacedBlock, Score};
use std::sync::Arc;

/// All that the pages of an index depend on.
#[derive(Clone, Debug, PartialEq)]
pub struct IndexGround {
    blocks: Vec<IndexBlock>,
    labels: Labels,
}

/// What an index says of a block.
#[derive(Clone, Debug)]
struct IndexBlock {
    item: usize,
    page: Option<usize>,
    block: PlacedBlock,
}

impl IndexGround {
    /// What the index of a score is set from; `stands_on` is the page of each item that is a block.
    pub fn of(score: &Score, stands_on: &[Option<usize>], labels: Labels) -> Self {
        let blocks = score.items.iter().enumerate().filter_map(|(item, it)| {
            let page = stands_on.get(item).copied().flatten();
            Some(IndexBlock { item, page, block: item::of_item(it)?.clone() })
        });
        Self { blocks: blocks.collect(), labels }
    }
}

impl PartialEq for IndexBlock {
    fn eq(&self, other: &Self) -> bool {
        let (own, its) = (&self.block, &other.block);
        (self.item, self.page) == (other.item, other.page)
            && own.number.is_some() == its.number.is_some()
            && (Arc::ptr_eq(&own.block, &its.block)
                || ((&own.title, &own.parent) == (&its.title, &its.parent)
                    && own.name == its.name
                    && own.settings.tags == its.settings.tags))
    }
}
