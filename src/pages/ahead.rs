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
/// How many blocks of one grid are looked at for its columns.
const LONGEST_GRID: usize = 1024;

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
            let end = end_of_grid(&score.items, index.saturating_add(TOGETHER), index);
            self.blocks = engrave(setter, score.items.get(index..end).unwrap_or(&[]), memo);
            self.words = setter.words(score, index..end, memo);
            self.from = index;
        }
        index.checked_sub(self.from)
    }
}

/// Where items that are set together end: not inside a grid of blocks, whose columns are the same,
/// unless it is very long.
fn end_of_grid(items: &[Item], wanted: usize, from: usize) -> usize {
    let mut end = wanted.min(items.len());
    let most = from.saturating_add(LONGEST_GRID).min(items.len());
    while end < most && goes_on(items.get(end - 1), items.get(end)) {
        end += 1;
    }
    end
}

/// Whether two items are blocks of one grid.
fn goes_on(before: Option<&Item>, item: Option<&Item>) -> bool {
    let columns = |item: Option<&Item>| {
        item.and_then(block::of_item).map(|block| block.settings.columns).filter(|n| *n > 1)
    };
    columns(before).is_some() && columns(before) == columns(item)
}

/// Engraves the blocks among items that were not engraved before. Blocks that follow one another and
/// ask for the same columns have the same, as many as the widest that fits any has room in.
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
    put(made, &mut all, memo);
    let other = in_other_columns(items, &all);
    let made = map_in_order(Each::Small, other, |(at, block, engraved, columns)| {
        (at, block, engraved.among(setter, block, columns))
    });
    put(made, &mut all, memo);
    all
}

fn put(
    made: Vec<(usize, &PlacedBlock, EngravedBlock)>,
    all: &mut [Option<EngravedBlock>],
    memo: &mut PagesMemo,
) {
    for (at, block, engraved) in made {
        memo.engraved.put(&block.block, engraved.clone());
        if let Some(place) = all.get_mut(at) {
            *place = Some(engraved);
        }
    }
}

/// Blocks that have other columns than those beside them, and what they are to have.
fn in_other_columns<'a>(
    items: &'a [Item],
    all: &[Option<EngravedBlock>],
) -> Vec<(usize, &'a PlacedBlock, EngravedBlock, usize)> {
    let mut other = Vec::new();
    let mut from = 0;
    while from < items.len() {
        let mut to = from + 1;
        while to < items.len() && goes_on(items.get(to - 1), items.get(to)) {
            to += 1;
        }
        let grid = || all.iter().enumerate().take(to).skip(from);
        let fits = grid().filter_map(|(_, set)| set.as_ref().map(|set| set.fits));
        let columns = fits.filter(|fits| *fits > 1).min().unwrap_or(1);
        for (at, set) in grid() {
            let block = items.get(at).and_then(block::of_item);
            let Some((block, set)) = block.zip(set.as_ref()) else { continue };
            if set.fits > 1 && set.columns != columns {
                other.push((at, block, set.clone(), columns));
            }
        }
        from = to;
    }
    other
}
