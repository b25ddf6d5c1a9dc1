//! Where the parts of a book open: on a new page, or on a right-hand one.

use super::column::ColumnPiece;
use super::piece::Opens;
use crate::rope::Rope;
use crate::score::block_layout::Starts;
use crate::score::printing::BlocksOnPages;
use crate::score::settings::Chapters;
use crate::score::{Header, Item, Score};

/// Says where the contents and the body open, which begin with the pieces of these indices.
pub fn open_front(
    pieces: &mut Rope<ColumnPiece>,
    (contents, body): (usize, usize),
    header: &Header,
) {
    let mut at_least = |index: usize, opens: Opens| {
        if let Some(piece) = pieces.get(index) {
            let mut opened = piece.clone();
            opened.measure.opens = opens.over(piece.measure.opens);
            *pieces = pieces.replaced([(index..index + 1, vec![opened])]);
        }
    };
    if header.title_page {
        at_least(contents, after_title(header));
        at_least(body, Opens::NewPage);
    }
    if header.roman_front && body > 0 {
        at_least(body, Opens::RightPage);
    }
}

/// Where what follows a title page opens: on a right-hand page in a book that has such.
fn after_title(header: &Header) -> Opens {
    if header.chapters == Chapters::RightPage || header.binding.is_some() {
        Opens::RightPage
    } else {
        Opens::NewPage
    }
}

/// Where a chapter or a part opens.
pub fn of_chapter(header: &Header) -> Opens {
    match header.chapters {
        Chapters::Follow => Opens::Anywhere,
        Chapters::NewPage => Opens::NewPage,
        Chapters::RightPage => Opens::RightPage,
    }
}

/// Whether an item begins a page because of what it is: the heading of the answers; and where blocks have a
/// page each, a block or the first of the words that lead to it. Words under a block stay with it. What
/// stands before the first block is on its page.
pub fn begins_page(score: &Score, index: usize) -> bool {
    if score.answers == Some(index) {
        return true;
    }
    match score.header.blocks {
        BlocksOnPages::Follow => return false,
        BlocksOnPages::OneAPage { .. } => {}
    }
    let is_block = |item: &Item| matches!(item, Item::Block(_));
    let end = score.answers.unwrap_or(score.items.len());
    let rest = score.items.range(index..end.max(index));
    let between: Vec<&Item> = rest.take_while(|item| !is_block(item)).collect();
    let before = (0..index).rev().map_while(|at| score.items.get(at));
    let above: Vec<&Item> = before.take_while(|item| !is_block(item)).collect();
    // Nothing to lead to, or no block before.
    if index + between.len() >= end || above.len() == index {
        return false;
    }
    let leads = |item: &Item| match item {
        Item::Heading { .. } => true,
        Item::Prose(prose) => prose.leads_on(),
        Item::Block(_) => false,
    };
    match between.first().copied() {
        None => !above.into_iter().any(leads),
        Some(Item::Heading { .. }) => !above.into_iter().any(leads),
        Some(first) => leads(first) && !above.into_iter().any(leads),
    }
}

/// Where a block opens.
pub fn of_block(starts: Starts) -> Opens {
    match starts {
        Starts::Follow => Opens::Anywhere,
        Starts::NewPage => Opens::NewPage,
        Starts::LeftPage => Opens::LeftPage,
        Starts::RightPage => Opens::RightPage,
    }
}
