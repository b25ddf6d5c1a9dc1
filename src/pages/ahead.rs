//! Blocks engraved and words set ahead of their turn, many at once on any processors that are free.

use super::block;
use super::column::ColumnPiece;
use super::engraved::EngravedBlock;
use super::pages_memo::PagesMemo;
use super::setter::Setter;
use crate::parallel::{Each, map_in_order};
use crate::score::{Item, PlacedBlock, Score};

/// How many items are set together: enough for all processors, and not a whole book in memory.
const TOGETHER: usize = 128;

/// Items from an index on, set.
#[derive(Default)]
pub struct Ahead {
    blocks: Vec<Option<EngravedBlock>>,
    words: Vec<Vec<ColumnPiece>>,
    from: usize,
}

impl Ahead {
    /// The block of an index. Indices do not go down.
    pub fn block(
        &mut self,
        setter: &Setter<'_>,
        score: &Score,
        (index, block): (usize, &PlacedBlock),
        memo: &mut PagesMemo,
    ) -> EngravedBlock {
        let at = self.reach(setter, score, index, memo);
        let engraved = at.and_then(|at| self.blocks.get(at)?.clone());
        engraved.unwrap_or_else(|| EngravedBlock::of(setter, block))
    }

    /// The words of an index. Indices do not go down.
    pub fn words(
        &mut self,
        setter: &Setter<'_>,
        score: &Score,
        index: usize,
        memo: &mut PagesMemo,
    ) -> Vec<ColumnPiece> {
        let at = self.reach(setter, score, index, memo);
        at.and_then(|at| self.words.get_mut(at)).map(std::mem::take).unwrap_or_default()
    }

    /// Sets items up to that of an index; its place among those that are set.
    fn reach(
        &mut self,
        setter: &Setter<'_>,
        score: &Score,
        index: usize,
        memo: &mut PagesMemo,
    ) -> Option<usize> {
        if index >= self.from + self.blocks.len() {
            let end = score.items.len().min(index.saturating_add(TOGETHER));
            self.blocks = engrave(setter, score.items.get(index..end).unwrap_or(&[]), memo);
            self.words = setter.words(score, index..end, memo);
            self.from = index;
        }
        index.checked_sub(self.from)
    }
}

/// Engraves the blocks among items that were not engraved before.
fn engrave(
    setter: &Setter<'_>,
    items: &[Item],
    memo: &mut PagesMemo,
) -> Vec<Option<EngravedBlock>> {
    let (mut new, mut all) = (Vec::new(), Vec::new());
    for (at, item) in items.iter().enumerate() {
        let block = block::of_item(item);
        let known = block.and_then(|block| memo.engraved.get(&block.block).cloned());
        if let (Some(block), None) = (block, &known) {
            new.push((at, block));
        }
        all.push(known);
    }
    let made =
        map_in_order(Each::Small, new, |(at, block)| (at, block, EngravedBlock::of(setter, block)));
    for (at, block, engraved) in made {
        memo.engraved.put(&block.block, engraved.clone());
        if let Some(place) = all.get_mut(at) {
            *place = Some(engraved);
        }
    }
    all
}
