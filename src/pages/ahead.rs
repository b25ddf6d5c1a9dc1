//! Blocks engraved ahead of their turn, many at once on any processors that are free.

use super::block;
use super::grid;
use super::setter::Setter;
use crate::engrave::System;
use crate::parallel::map_in_order;
use crate::score::{Block, Item};
use std::sync::Arc;

/// How many items are engraved together: enough for all processors, and not a whole book in memory.
const TOGETHER: usize = 128;

/// Lines of music of the items from an index on; nothing for words, and for what was taken.
#[derive(Default)]
pub struct Ahead {
    engraved: Vec<Option<Vec<Arc<System>>>>,
    from: usize,
}

impl Ahead {
    /// The lines of the block of an index, in as many columns as it asks for. Indices do not go down,
    /// but for blocks taken before.
    pub fn take(
        &mut self,
        setter: &Setter<'_>,
        items: &[Item],
        index: usize,
        block: &Block,
    ) -> Vec<Arc<System>> {
        if index >= self.from + self.engraved.len() {
            let ahead = items.get(index..).unwrap_or(&[]);
            let ahead = ahead.get(..TOGETHER).unwrap_or(ahead);
            self.engraved = map_in_order(ahead.iter().collect(), |item| {
                block::of_item(item).map(|block| engraved(setter, block))
            });
            self.from = index;
        }
        let ahead = index.checked_sub(self.from);
        let systems = ahead.and_then(|at| self.engraved.get_mut(at)).and_then(Option::take);
        // A block that found no room beside another was taken before.
        systems.unwrap_or_else(|| engraved(setter, block))
    }
}

fn engraved(setter: &Setter<'_>, block: &Block) -> Vec<Arc<System>> {
    let columns = block.settings.columns as usize;
    setter.systems(block, columns, grid::column_width(setter.sheet, columns))
}
