//! Blocks that the outline lists.

use crate::score::PlacedBlock;

/// Whether the outline lists a block.
pub fn is_headed(block: &PlacedBlock) -> bool {
    block.number.is_some() || block.title.is_some()
}
