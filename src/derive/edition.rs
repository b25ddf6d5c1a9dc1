//! What an edition prints: some of the blocks, with the words that speak of them, and letters for the
//! other hand.

use crate::interpret::reading::Selection;
use crate::rope::Rope;
use crate::score::printing::BlocksOnPages;
use crate::score::settings::Header;
use crate::score::{Block, Hand, Item, ProseBlock, Sticking, name_key};
use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

/// Items in order, and whether each would be printed as far as it is asked itself.
pub(super) struct Printed {
    pub(super) items: Vec<Item>,
    pub(super) prints: Vec<bool>,
}

impl Printed {
    pub(super) fn with_capacity(items: usize) -> Self {
        Self { items: Vec::with_capacity(items), prints: Vec::with_capacity(items) }
    }

    pub(super) fn add(&mut self, item: Item, prints: bool) {
        self.items.push(item);
        self.prints.push(prints);
    }
}

impl Selection {
    /// Whether a block is printed, which has a name or not.
    pub(super) fn prints(&self, name: Option<&str>) -> bool {
        let name = name.map(name_key);
        let among =
            |names: &[String]| name.as_ref().is_some_and(|name| names.iter().any(|n| n == name));
        self.only.as_ref().is_none_or(|only| among(only)) && !among(&self.without)
    }
}

/// The items that are printed, and the blocks and headings that are not. `prints` says of each item whether it would be
/// as far as it is asked itself; words follow the blocks they speak of:
///
/// - a heading all of whose blocks are left out goes with everything under it;
/// - the words right under a block that is left out go with it, and all words between two of these;
/// - so do words over it that end with a colon.
pub(super) fn printed(items: Rope<Item>, prints: &[bool]) -> (Rope<Item>, Vec<Item>) {
    if prints.iter().all(|prints| *prints) {
        return (items, Vec::new());
    }
    let items: Vec<Item> = items.into_iter().collect();
    let gone = gone(&items, prints);
    let (mut left, mut left_out) = (Vec::with_capacity(items.len()), Vec::new());
    for (index, item) in items.into_iter().enumerate() {
        match item {
            Item::Block(_) | Item::Heading { .. } if gone.contains(&index) => left_out.push(item),
            Item::Prose(_) if gone.contains(&index) => {}
            Item::Block(_) | Item::Heading { .. } | Item::Prose(_) => left.push(item),
        }
    }
    (left.into(), left_out)
}

/// The indices of all items that are left out.
fn gone(items: &[Item], prints: &[bool]) -> BTreeSet<usize> {
    let is_block = |index: &usize| matches!(items.get(*index), Some(Item::Block(_)));
    let is_printed = |index: &usize| prints.get(*index).copied().unwrap_or(true);
    let mut gone: BTreeSet<usize> =
        (0..items.len()).filter(|index| is_block(index) && !is_printed(index)).collect();
    for (index, item) in items.iter().enumerate() {
        match item {
            Item::Heading { level, .. } => {
                let under = under(items, index, *level);
                let mut blocks = under.clone().filter(is_block).peekable();
                if blocks.peek().is_some() && !blocks.any(|block| is_printed(&block)) {
                    gone.extend(index..under.end);
                }
            }
            Item::Prose(prose) if words_go(items, prints, index, prose) => {
                gone.insert(index);
            }
            Item::Prose(_) | Item::Block(_) => {}
        }
    }
    gone
}

/// What stands under a heading of a level: everything up to the next that is as high.
fn under(items: &[Item], heading: usize, own: u8) -> Range<usize> {
    let rest = items.get(heading + 1..).unwrap_or(&[]);
    let ends = |item: &Item| match item {
        Item::Heading { level, .. } => *level <= own,
        Item::Prose(_) | Item::Block(_) => false,
    };
    let length = rest.iter().position(ends).unwrap_or(rest.len());
    heading + 1..heading + 1 + length
}

/// Whether words go with a block that is left out.
fn words_go(items: &[Item], prints: &[bool], index: usize, prose: &ProseBlock) -> bool {
    let is_prose = |index: usize| matches!(items.get(index), Some(Item::Prose(_)));
    let left_out = |index: Option<usize>| index.and_then(|i| prints.get(i)).is_some_and(|p| !p);
    let above = (0..index).rev().find(|index| !is_prose(*index));
    let below = (index + 1..items.len()).find(|index| !is_prose(*index));
    let right_under = above.is_some_and(|above| above + 1 == index);
    let right_over = below == Some(index + 1);
    match (left_out(above), left_out(below)) {
        (true, true) => true,
        (true, false) => {
            let leads_on = prose.leads_on() && below.is_some();
            right_under && !(leads_on && right_over)
        }
        (false, true) => right_over && prose.leads_on(),
        (false, false) => false,
    }
}

/// Takes out prose where none is printed, and lets no block stand beside another where each begins a page.
pub(super) fn suit(items: &mut Rope<Item>, header: &Header) {
    let alone = match header.blocks {
        BlocksOnPages::Follow => false,
        BlocksOnPages::OneAPage { .. } => true,
    };
    if header.prose && !alone {
        return;
    }
    let suited = |item: Item| match item {
        Item::Prose(_) if !header.prose => None,
        Item::Block(mut block) if alone && block.settings.columns > 1 => {
            Arc::make_mut(&mut block.block).settings.columns = 1;
            Some(Item::Block(block))
        }
        Item::Block(_) | Item::Heading { .. } | Item::Prose(_) => Some(item),
    };
    *items = std::mem::take(items).into_iter().filter_map(suited).collect();
}

/// Gives every letter of a block's hands to the other hand.
pub(super) fn turn(block: &mut Arc<Block>) {
    let any = block.parts().flat_map(|part| &part.bars).any(|bar| !bar.sticking.is_empty());
    if !any {
        return;
    }
    for bar in Arc::make_mut(block).parts_mut().flat_map(|part| &mut part.bars) {
        for Sticking { hand, grace, .. } in &mut bar.sticking {
            *hand = Hand::other(*hand);
            grace.iter_mut().for_each(|hand| *hand = hand.other());
        }
    }
}
