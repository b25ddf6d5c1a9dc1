//! Blocks engraved and words set ahead of their turn, many at once on any processors that are free.

use super::column::ColumnPiece;
use super::edges::{begins_series, goes_on};
use super::engraved::{BlockAmong, EngravedBlock, EngravedMemo, EngravedVersions};
use super::setter::Setter;
use super::spent::{Said, SpentMusic};
use super::words_memo::WordsMemo;
use crate::parallel::{Each, both, give_up, map_in_order};
use crate::rope::Rope;
use crate::score::{Item, Score};

/// How many items are set together: enough for all processors, and not a whole book in memory.
const TOGETHER: usize = 256;
/// The same where a few are set again.
const TOGETHER_AGAIN: usize = 8;
/// How many blocks of one grid are looked at for its columns.
const LONGEST_GRID: usize = 1024;

/// Items from an index on, set.
#[derive(Debug, Default)]
pub struct SetItems {
    from: usize,
    /// Each as a block or as words.
    items: Vec<(Option<EngravedBlock>, Vec<ColumnPiece>)>,
}

impl SetItems {
    /// None yet, from an index on.
    pub fn none(from: usize) -> Self {
        Self { from, items: Vec::new() }
    }

    /// The index of the item after the last.
    pub fn end(&self) -> usize {
        self.from + self.items.len()
    }

    /// Takes those that follow, and gives up those before an index.
    pub fn go_on(&mut self, index: usize, next: Self) {
        if index >= self.end() {
            *self = next;
            return;
        }
        let gone = index.saturating_sub(self.from);
        self.from += gone;
        self.items.drain(..gone);
        self.items.extend(next.items);
    }

    /// The block of an index.
    pub fn block(&self, index: usize) -> Option<EngravedBlock> {
        self.items.get(index.checked_sub(self.from)?)?.0.clone()
    }

    /// The words of an index, which are asked for once.
    pub fn words(&mut self, index: usize) -> Vec<ColumnPiece> {
        let item = index.checked_sub(self.from).and_then(|at| self.items.get_mut(at));
        item.map(|(_, words)| std::mem::take(words)).unwrap_or_default()
    }
}

/// Sets items ahead of their turn.
pub struct Ahead<'a> {
    setter: Setter<'a>,
    score: &'a Score,
    engraved: &'a mut EngravedMemo,
    words: &'a mut WordsMemo,
    /// A few items are set again.
    again: bool,
    music: SpentMusic,
}

impl<'a> Ahead<'a> {
    /// For a whole body, or for a few items that are set again; with music that is given up meanwhile.
    pub fn new(
        (setter, score): (Setter<'a>, &'a Score),
        (engraved, words): (&'a mut EngravedMemo, &'a mut WordsMemo),
        again: bool,
        music: SpentMusic,
    ) -> Self {
        Self { setter, score, engraved, words, again, music }
    }

    /// What is said of blocks whose music was given up.
    pub fn said(self) -> Said {
        self.music.said()
    }

    /// How many items from an index on may be set while others take their places; none where a few are set again, of
    /// which it isn't known whether they come to those.
    pub fn count(&self, from: usize) -> usize {
        let rest = self.score.items.len().saturating_sub(from);
        if self.again { 0 } else { rest.min(TOGETHER) }
    }

    /// Sets items from an index on, as many as are set together.
    pub fn set(&mut self, from: usize) -> SetItems {
        let Self { setter, score, engraved, words, again, music } = self;
        let together = if *again { TOGETHER_AGAIN } else { TOGETHER };
        let end = end_of_grid(&score.items, from.saturating_add(together), from);
        let items = music.items(score, from..end);
        let blocks = || engrave(setter, &items.iter().collect::<Vec<_>>(), engraved);
        let others = || {
            music.say(from, &items);
            setter.words(score, from..end, words)
        };
        let (blocks, words) = both(Each::Small, items.len(), blocks, others);
        // Of music that is given up this was the last.
        give_up(Each::Small, items.len(), items);
        SetItems { from, items: blocks.into_iter().zip(words).collect() }
    }
}

/// Where items that are set together end: not inside a grid of blocks, whose columns are the same,
/// unless it is very long.
fn end_of_grid(items: &Rope<Item>, wanted: usize, from: usize) -> usize {
    let mut end = wanted.min(items.len());
    let most = from.saturating_add(LONGEST_GRID).min(items.len());
    while end < most && goes_on(items.get(end - 1), items.get(end)) {
        end += 1;
    }
    end
}

/// Where a block is to stand.
#[derive(Clone, Copy, Debug)]
struct GridPlace {
    /// Its index.
    index: usize,
    /// In how many columns.
    columns: usize,
    /// It begins a row of them.
    first_in_row: bool,
}

/// Where the blocks among items stand that fit so many columns each. Blocks that follow one another
/// and ask for the same columns have the same, as many as the widest that fits any has room in.
fn places(items: &[&Item], fits: impl Fn(usize) -> usize) -> Vec<GridPlace> {
    let mut places = Vec::new();
    let mut from = 0;
    while from < items.len() {
        let mut to = from + 1;
        while to < items.len() && goes_on(items.get(to - 1).copied(), items.get(to).copied()) {
            to += 1;
        }
        let columns = (from..to).map(&fits).filter(|fits| *fits > 1).min().unwrap_or(1);
        let mut nth = 0;
        for index in from..to {
            // What has a line of its own ends a row, and a series begins one.
            if begins_series(items, index) {
                nth = 0;
            }
            let columns = if fits(index) > 1 { columns } else { 1 };
            places.push(GridPlace {
                index,
                columns,
                first_in_row: columns == 1 || nth % columns == 0,
            });
            nth = if columns == 1 { 0 } else { nth + 1 };
        }
        from = to;
    }
    places
}

/// Engraves the blocks among items that were not engraved before.
fn engrave(
    setter: &Setter<'_>,
    items: &[&Item],
    memo: &mut EngravedMemo,
) -> Vec<Option<EngravedBlock>> {
    let mut all = vec![None; items.len()];
    let asked = |index: usize| {
        let block = items.get(index).copied().and_then(Item::block);
        block.map_or(1, |block| block.settings.columns as usize)
    };
    let any = |versions: &EngravedVersions, _: &BlockAmong<'_>, _| versions.any().cloned();
    set(items, places(items, asked), (&mut all, memo), any, |among, _, _| {
        if cfg!(feature = "parallel") {
            setter.shape_title(among.block);
        }
        let set = EngravedBlock::of(setter, among);
        // What fits columns may be set again.
        if set.fits == 1 { set.written(setter) } else { set }
    });
    let fits: Vec<usize> =
        all.iter().map(|set: &Option<EngravedBlock>| set.as_ref().map_or(1, |s| s.fits)).collect();
    let places = places(items, |index| fits.get(index).copied().unwrap_or(1));
    let known = |versions: &EngravedVersions, among: &BlockAmong<'_>, columns| {
        versions.of(columns, among.shown(columns)).cloned()
    };
    set(items, places, (&mut all, memo), known, |among, columns, fits| {
        EngravedBlock::again(setter, among, columns, fits)
    });
    match setter.writer {
        None => all,
        Some(_) => map_in_order(Each::Small, all, |set| Some(set?.written(setter))),
    }
}

/// Sets blocks at their places: those that are `known` of what was set before, and others made now.
fn set<'a>(
    items: &'a [&'a Item],
    places: Vec<GridPlace>,
    (all, memo): (&mut [Option<EngravedBlock>], &mut EngravedMemo),
    known: impl Fn(&EngravedVersions, &BlockAmong<'_>, usize) -> Option<EngravedBlock>,
    make: impl Fn(BlockAmong<'a>, usize, usize) -> EngravedBlock + Sync,
) {
    let mut new = Vec::new();
    for GridPlace { index, columns, first_in_row } in places {
        let Some(block) = items.get(index).copied().and_then(Item::block) else { continue };
        let among = BlockAmong { items, index, block, first_in_row };
        let Some(set) = all.get_mut(index) else { continue };
        let fits = set.as_ref().map(|set| set.fits);
        if set.as_ref().is_some_and(|set| set.is(columns, among.shown(columns))) {
            continue;
        }
        match memo.get(&block.block).and_then(|versions| known(versions, &among, columns)) {
            Some(known) => *set = Some(known),
            None => new.push((among, columns, fits.unwrap_or(1))),
        }
    }
    let made = map_in_order(Each::Small, new, |(among, columns, fits)| {
        (among, make(among, columns, fits))
    });
    for (among, engraved) in made {
        if let Some(versions) = memo.entry(&among.block.block) {
            versions.put(engraved.clone());
        }
        if let Some(set) = all.get_mut(among.index) {
            *set = Some(engraved);
        }
    }
}
