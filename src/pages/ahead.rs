//! Blocks engraved ahead of their turn, many at once on any processors that are free.

use super::block;
use super::engraved::EngravedBlock;
use super::pages_memo::PagesMemo;
use super::setter::Setter;
use crate::parallel::map_in_order;
use crate::score::{Item, PlacedBlock};

/// How many items are engraved together: enough for all processors, and not a whole book in memory.
const TOGETHER: usize = 128;

/// Blocks among the items from an index on, engraved.
#[derive(Default)]
pub struct Ahead {
    engraved: Vec<Option<EngravedBlock>>,
    from: usize,
}

impl Ahead {
    /// The block of an index. Indices do not go down.
    pub fn of(
        &mut self,
        setter: &Setter<'_>,
        items: &[Item],
        (index, block): (usize, &PlacedBlock),
        memo: &mut PagesMemo,
    ) -> EngravedBlock {
        if index >= self.from + self.engraved.len() {
            self.go_on(setter, items, index, memo);
        }
        let ahead = index.checked_sub(self.from);
        let engraved = ahead.and_then(|at| self.engraved.get(at)?.clone());
        engraved.unwrap_or_else(|| EngravedBlock::of(setter, block))
    }

    /// Engraves the items from an index on that were not engraved before.
    fn go_on(&mut self, setter: &Setter<'_>, items: &[Item], index: usize, memo: &mut PagesMemo) {
        let ahead = items.get(index..).unwrap_or(&[]).iter().take(TOGETHER);
        let (mut new, mut all) = (Vec::new(), Vec::new());
        for (at, item) in ahead.enumerate() {
            let block = block::of_item(item);
            let known = block.and_then(|block| memo.engraved.get(&block.block).cloned());
            if let (Some(block), None) = (block, &known) {
                new.push((at, block));
            }
            all.push(known);
        }
        let made = map_in_order(new, |(at, block)| (at, block, EngravedBlock::of(setter, block)));
        for (at, block, engraved) in made {
            memo.engraved.put(&block.block, engraved.clone());
            if let Some(place) = all.get_mut(at) {
                *place = Some(engraved);
            }
        }
        (self.engraved, self.from) = (all, index);
    }
}
