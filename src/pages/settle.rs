//! Pages broken until what prose prints of them agrees with them (see [`super::reference`]), and the
//! index after them.

use super::breaking::{Leaf, break_pages};
use super::column::ColumnPiece;
use super::galley::Galley;
use super::labels::Labels;
use super::pages_memo::PagesMemo;
use super::reference;
use super::reference::{Answers, ReferenceTarget};
use super::setter::Setter;
use crate::score::Score;
use crate::score::settings::{Chapters, Header};
use std::ops::Range;

/// Pieces and which page each stands on.
pub struct Settled {
    /// All pieces in order.
    pub pieces: Vec<ColumnPiece>,
    /// The pages in order.
    pub leaves: Vec<Leaf>,
    /// How the pages are numbered.
    pub labels: Labels,
    /// The piece the body begins with, by index.
    pub body: usize,
    /// The page the index begins on, by index; the number of pages where there is none.
    pub index: usize,
    /// How many items there are.
    items: usize,
}

/// Breaks a column into pages and sets the words that refer to blocks again, until every page number
/// has room in its line.
pub fn settle(
    galley: Galley,
    setter: &Setter<'_>,
    score: &Score,
    mut answers: Answers,
    memo: &mut PagesMemo,
) -> Settled {
    let Galley { mut pieces, body, mut referring } = galley;
    let mut pass = 0;
    loop {
        let leaves = break_pages(&pieces, setter.sheet.room(), &mut memo.breaks);
        let labels = Labels::of_front(&score.header, body, &leaves);
        let mut enough = true;
        if !referring.is_empty() {
            let pages = pages_of_blocks(&pieces, &leaves, score.items.len());
            let label = |to| Some(labels.of(page_of(to, &pages, &pieces, &leaves)?));
            enough = answers.take(&label, pass >= reference::PASSES);
            let again = Setter { answers: &answers, ..*setter };
            let indices: Vec<usize> = referring.iter().map(|(index, _)| *index).collect();
            let words = again.words(score, indices.into_iter(), memo);
            set_again(&mut pieces, &mut referring, words);
            pass += 1;
        }
        if enough || pass > 2 * reference::PASSES {
            let index = leaves.len();
            return Settled { pieces, leaves, labels, body, index, items: score.items.len() };
        }
    }
}

impl Settled {
    /// The index of the page each block begins on, by the block's index among the items.
    pub fn pages_of_blocks(&self) -> Vec<Option<usize>> {
        pages_of_blocks(&self.pieces, &self.leaves, self.items)
    }

    /// Adds the pages of the index after all others.
    pub fn add_index(&mut self, pages: Vec<Vec<ColumnPiece>>, header: &Header) {
        for (nth, page) in pages.into_iter().enumerate() {
            let opens_right = nth == 0 && header.chapters == Chapters::RightPage;
            if opens_right && self.leaves.len() % 2 == 1 {
                self.leaves.push(Leaf { pieces: self.pieces.len()..self.pieces.len(), gaps: 1.0 });
            }
            let first = self.pieces.len();
            self.pieces.extend(page);
            self.leaves.push(Leaf { pieces: first..self.pieces.len(), gaps: 1.0 });
        }
    }
}

/// The index of the page a place begins on, `pages` being those of the items.
fn page_of(
    to: ReferenceTarget,
    pages: &[Option<usize>],
    pieces: &[ColumnPiece],
    leaves: &[Leaf],
) -> Option<usize> {
    let first = pages.get(to.item).copied().flatten()?;
    let on = |leaf: &Leaf| pieces.get(leaf.pieces.clone()).unwrap_or(&[]).iter();
    let is_of_it = |piece: &&ColumnPiece| piece.block() == Some(to.item);
    let with_block = leaves.iter().enumerate().skip(first);
    let mut with_block = with_block.take_while(|(_, leaf)| on(leaf).any(|piece| is_of_it(&piece)));
    let found = with_block
        .find(|(_, leaf)| on(leaf).filter(is_of_it).any(|piece| piece.begins_exercise(to)));
    found.map(|(page, _)| page).or(Some(first))
}

fn pages_of_blocks(pieces: &[ColumnPiece], leaves: &[Leaf], items: usize) -> Vec<Option<usize>> {
    let mut pages = vec![None; items];
    for (page, leaf) in leaves.iter().enumerate() {
        let headings = pieces.get(leaf.pieces.clone()).unwrap_or(&[]).iter();
        for block in headings.flat_map(ColumnPiece::headings).filter_map(|(_, block)| block) {
            if let Some(own) = pages.get_mut(block) {
                *own = Some(page);
            }
        }
    }
    pages
}

/// Puts the words of some items in place of themselves, set again; `words` says which pieces each of them
/// is, and then which they became.
fn set_again(
    pieces: &mut Vec<ColumnPiece>,
    words: &mut [(usize, Range<usize>)],
    set: Vec<Vec<ColumnPiece>>,
) {
    // How far what follows has moved.
    let mut moved = 0_isize;
    for ((_, range), mut new) in words.iter_mut().zip(set) {
        let start = range.start.saturating_add_signed(moved);
        let old = start..start + range.len();
        // What the first page asks of its first piece stays.
        if let (Some(new), Some(old)) = (new.first_mut(), pieces.get(start)) {
            new.opens = old.opens;
        }
        moved += new.len() as isize - range.len() as isize;
        *range = start..start + new.len();
        if let (true, Some(own)) = (new.len() == old.len(), pieces.get_mut(old.clone())) {
            own.clone_from_slice(&new);
        } else if old.end <= pieces.len() {
            drop(pieces.splice(old, new));
        }
    }
}
