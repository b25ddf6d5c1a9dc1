//! What blocks that stand together say once: clef, time signature and tempo.

use super::headed::is_headed;
use crate::engrave::{Edges, FinalBarline};
use crate::score::block_layout::Starts;
use crate::score::{Item, MarkKind, PlacedBlock};

/// Whether two items are blocks of one grid: both ask for the same columns, and the second for no page.
pub fn goes_on(before: Option<&Item>, item: Option<&Item>) -> bool {
    if item.and_then(Item::block).is_some_and(opens_page) {
        return false;
    }
    let columns = |item: Option<&Item>| {
        item.and_then(Item::block).map(|block| block.settings.columns).filter(|n| *n > 1)
    };
    columns(before).is_some() && columns(before) == columns(item)
}

/// Whether a block asks to stand at the head of a page.
pub fn opens_page(block: &PlacedBlock) -> bool {
    block.settings.layout.starts != Starts::Follow
}

/// Whether the title of the block of an index stands for those after it too, as that of a series: in its
/// grid a block without one follows.
pub fn begins_series(items: &[&Item], index: usize) -> bool {
    let titled = |index: usize| {
        items.get(index).copied().and_then(Item::block).map(|block| block.title.is_some())
    };
    goes_on(items.get(index).copied(), items.get(index + 1).copied())
        && titled(index) == Some(true)
        && titled(index + 1) == Some(false)
}

/// The edges of a block that has a line of its own: its tempo stands beside its title, where it has one.
pub fn alone(block: &PlacedBlock) -> Edges {
    Edges { heading: !is_headed(block), ..Edges::alone(block.part.bars.len()) }
}

/// The edges of the block of an index in a grid, which stands first in its row or does not: the row
/// begins with a clef, the time signature is shown where it changes, and a single bar ends with a thin
/// line, several with a light final one.
pub fn in_grid(items: &[&Item], index: usize, block: &PlacedBlock, first_in_row: bool) -> Edges {
    let before = before_in_grid(items, index);
    let own = block.part.bars.first().map(|bar| &bar.meter);
    let left_in = before.and_then(|before| before.part.bars.last()).map(|bar| &bar.meter);
    let same = left_in.zip(own).is_some_and(|(before, own)| before.is_same_time(own));
    let alone = alone(block);
    let end = match alone.end {
        FinalBarline::Light | FinalBarline::Thin => FinalBarline::Thin,
        FinalBarline::Full => FinalBarline::Light,
    };
    Edges {
        clef: first_in_row,
        time: !same,
        heading: alone.heading && shows_heading(items, index, block),
        end,
    }
}

/// Whether the tempo or the feel of the block of an index is another than that of the block before it in
/// its grid.
pub fn shows_heading(items: &[&Item], index: usize, block: &PlacedBlock) -> bool {
    let heading = |block: &PlacedBlock| {
        let settings = &block.settings;
        (settings.tempo.clone(), settings.goal.clone(), settings.swing)
    };
    before_in_grid(items, index)
        .is_none_or(|before| changes_heading(before) || heading(before) != heading(block))
}

/// Whether a block ends in another tempo or feel than it begins with.
fn changes_heading(block: &PlacedBlock) -> bool {
    block.part.bars.iter().flat_map(|bar| &bar.marks).any(|mark| match mark.kind {
        MarkKind::Tempo(_) | MarkKind::Feel(_) => true,
        MarkKind::Form(_)
        | MarkKind::Note(_)
        | MarkKind::Words(_)
        | MarkKind::Number(_)
        | MarkKind::Layout(_)
        | MarkKind::Phrase(_) => false,
    })
}

fn before_in_grid<'a>(items: &[&'a Item], index: usize) -> Option<&'a PlacedBlock> {
    let before = items.get(index.checked_sub(1)?).copied();
    before.filter(|before| goes_on(Some(before), items.get(index).copied())).and_then(Item::block)
}
