//! Items that are music.

use crate::score::{Item, PlacedBlock};

/// An item that is music.
pub fn of_item(item: &Item) -> Option<&PlacedBlock> {
    match item {
        Item::Block(block) => Some(block),
        Item::Heading { .. } | Item::Prose(_) => None,
    }
}

/// Whether the outline lists a block.
pub fn is_headed(block: &PlacedBlock) -> bool {
    block.number.is_some() || block.title.is_some()
}
