//! Pages broken until what prose prints of them agrees with them (see [`super::reference`]), and the
//! index after them.

use super::breaking::Leaf;
use super::broken::Broken;
use super::column::ColumnPiece;
use super::galley::Galley;
use super::item_ids::{ByItem, ItemIds};
use super::labels::Labels;
use super::pages_memo::PagesMemo;
use super::reference;
use super::reference::{Answers, ReferenceTarget};
use super::referring::{Known, Pass, Referring, ReferringWords};
use super::setter::Setter;
use crate::parallel::{Each, give_up};
use crate::rope::Rope;
use crate::score::Score;
use crate::score::settings::{Chapters, Header};
use std::borrow::Cow;
use std::sync::Arc;

/// How many words are set again before those they take the place of are given up.
const TOGETHER: usize = 2048;

/// Pieces and which page each stands on.
pub struct Settled {
    /// All pieces in order.
    pub pieces: Rope<ColumnPiece>,
    /// The pages in order.
    pub leaves: Vec<Leaf>,
    /// How the pages are numbered.
    pub labels: Labels,
    /// The piece the body begins with, by index.
    pub body: usize,
    /// The page the index begins on, by index; the number of pages where there is none.
    pub index: usize,
    /// The index of the page each block and each heading begins on.
    pub pages: Arc<ByItem<usize>>,
}

/// Breaks a column into pages and sets the words that refer to blocks again, until every page number
/// has room in its line.
pub fn settle(
    galley: Galley,
    setter: &Setter<'_>,
    score: &Score,
    mut answers: Arc<Answers>,
    memo: &mut PagesMemo,
) -> Settled {
    let Galley { pieces, body, referring } = galley;
    let mut column = Referring { pieces, words: referring };
    let mut known = std::mem::take(&mut memo.passes).into_iter();
    let mut earlier = std::mem::take(&mut memo.breaks).into_iter();
    let mut last: Option<Broken> = None;
    let mut pass = 0;
    loop {
        let as_before = earlier.next();
        let as_before = as_before.as_ref().or(last.as_ref());
        let mut broken = Broken::of(&column.pieces, setter.sheet.room(), as_before);
        if memo.keeps() {
            memo.breaks.push(broken.clone());
        } else {
            broken.spend();
        }
        let leaves = &broken.leaves;
        let labels = Labels::of_front(&score.header, body, leaves);
        let pages = Arc::new(pages_of_items(&column.pieces, leaves, setter.ids));
        let mut enough = true;
        if !column.words.is_empty() {
            let before = known.next();
            let as_before = before.as_ref().and_then(|pass| pass.known(&answers, (&pages, labels)));
            let told = as_before.cloned().unwrap_or_else(|| {
                let label = |to| Some(labels.of(page_of(to, &pages, &column.pieces, leaves)?));
                let mut told = Answers::clone(&answers);
                let enough = told.take(&label, pass >= reference::PASSES);
                let (asked, pages) = (answers.clone(), pages.clone());
                Known { asked, pages, labels, told: Arc::new(told), enough }
            });
            (answers, enough) = (told.told.clone(), told.enough);
            let again = Setter { answers: &answers, ..*setter };
            column = if memo.keeps() {
                let set = again.set_again(score, Cow::Borrowed(&column), before, memo);
                memo.passes.push(Pass::new(column, told, &set));
                set
            } else {
                again.set_again(score, Cow::Owned(column), before, memo)
            };
            pass += 1;
        }
        if enough || pass > 2 * reference::PASSES {
            let (leaves, pieces) = (std::mem::take(&mut broken.leaves), column.pieces);
            let index = leaves.len();
            // Of a book they hold a million of costs, and words that were set again.
            give_up(Each::Small, index, (broken, last));
            return Settled { pieces, leaves, labels, body, index, pages };
        }
        last = Some(broken);
    }
}

impl Setter<'_> {
    /// A column with all words that refer to blocks set with the answers that are known. Of one that is given and not
    /// lent, words are given up while others are set.
    fn set_again(
        &self,
        score: &Score,
        column: Cow<'_, Referring>,
        known: Option<Pass>,
        memo: &mut PagesMemo,
    ) -> Referring {
        let carried = known.and_then(|known| known.carried(&column, self.answers));
        let (mut column, todo) = carried.unwrap_or_else(|| {
            let all = (0..column.words.len()).collect();
            (column.into_owned(), all)
        });
        for todo in todo.chunks(TOGETHER) {
            column = self.set_some(score, column, todo, memo);
        }
        column
    }

    /// The same of some words by their indices, in order.
    fn set_some(
        &self,
        score: &Score,
        Referring { pieces, mut words }: Referring,
        todo: &[usize],
        memo: &mut PagesMemo,
    ) -> Referring {
        let items = todo.iter().filter_map(|nth| words.get(*nth)).map(|own| own.item);
        let mut set = self.words(score, items.collect::<Vec<_>>().into_iter(), memo).into_iter();
        let mut changes = Vec::with_capacity(todo.len());
        // How far what follows has moved.
        let mut moved = 0_isize;
        let mut todo = todo.iter().peekable();
        for (nth, ReferringWords { pieces: own, .. }) in words.iter_mut().enumerate() {
            let old = own.clone();
            let start = old.start.saturating_add_signed(moved);
            let mut length = old.len();
            if todo.next_if_eq(&&nth).is_some() {
                let mut new = set.next().unwrap_or_default();
                // What the first page asks of its first piece stays.
                if let (Some(new), Some(old)) = (new.first_mut(), pieces.get(old.start)) {
                    new.opens = old.opens;
                }
                length = new.len();
                moved += length as isize - old.len() as isize;
                changes.push((old, new));
            }
            *own = start..start + length;
        }
        Referring { pieces: pieces.replaced(changes), words }
    }
}

impl Settled {
    /// Adds the pages of the index after all others.
    pub fn add_index(&mut self, pages: Vec<Vec<ColumnPiece>>, header: &Header) {
        for (nth, page) in pages.into_iter().enumerate() {
            let opens_right = nth == 0 && header.chapters == Chapters::RightPage;
            if opens_right && self.leaves.len() % 2 == 1 {
                self.leaves.push(Leaf { pieces: self.pieces.len()..self.pieces.len(), gaps: 1.0 });
            }
            let first = self.pieces.len();
            self.pieces.append(&page.into());
            self.leaves.push(Leaf { pieces: first..self.pieces.len(), gaps: 1.0 });
        }
    }
}

/// The index of the page a place begins on, `pages` being those of the items.
fn page_of(
    to: ReferenceTarget,
    pages: &ByItem<usize>,
    pieces: &Rope<ColumnPiece>,
    leaves: &[Leaf],
) -> Option<usize> {
    let first = *pages.get(to.item)?;
    if to.exercise.is_none() {
        return Some(first);
    }
    let on = |leaf: &Leaf| pieces.range(leaf.pieces.clone());
    let is_of_it = |piece: &&ColumnPiece| piece.block() == Some(to.item);
    let with_block = leaves.iter().enumerate().skip(first);
    let mut with_block = with_block.take_while(|(_, leaf)| on(leaf).any(|piece| is_of_it(&piece)));
    let found = with_block
        .find(|(_, leaf)| on(leaf).filter(is_of_it).any(|piece| piece.begins_exercise(to)));
    found.map(|(page, _)| page).or(Some(first))
}

/// The index of the page each block and each heading begins on.
fn pages_of_items(pieces: &Rope<ColumnPiece>, leaves: &[Leaf], ids: &ItemIds) -> ByItem<usize> {
    let mut pages = ByItem::default();
    let mut pieces = pieces.iter();
    for (page, leaf) in leaves.iter().enumerate() {
        let own = pieces.by_ref().take(leaf.pieces.len());
        own.flat_map(|piece| piece.heads(ids)).for_each(|item| pages.put(item, page));
    }
    pages
}
