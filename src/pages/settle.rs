//! Pages broken until what prose prints of them has room (see [`super::reference`]), and the index after
//! them.

use super::breaking::Leaf;
use super::broken::Broken;
use super::column::ColumnPiece;
use super::galley::Galley;
use super::labels::Labels;
use super::measure::Measure;
use super::pages_memo::PagesMemo;
use super::reference;
use super::reference::Answers;
use super::referring::{Pass, Referring, ReferringWords, mentioning};
use super::setter::Setter;
use super::stands::Stands;
use crate::parallel::{Each, give_up};
use crate::rope::Rope;
use crate::score::Score;
use crate::score::settings::{Chapters, Header};
use std::borrow::Cow;
use std::sync::Arc;

/// How many words are set again before those they take the place of are given up.
const TOGETHER: usize = 512;

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
    /// What stands on which page.
    pub stands: Stands,
}

/// Breaks a column into pages and sets words again in which page numbers have too little room, until every
/// one has room in its line.
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
        }
        let leaves = &broken.leaves;
        let labels = Labels::of_front(&score.header, body, leaves);
        let stands = Stands::of(&column.pieces, leaves, (setter.ids, &answers));
        let figures = |to| stands.page_of(to).map(|page| labels.figures(page));
        let wider = answers.with_room(figures, pass >= reference::PASSES);
        let wider = wider.filter(|_| pass <= 2 * reference::PASSES);
        let Some(wider) = wider else {
            let (leaves, pieces) = (std::mem::take(&mut broken.leaves), column.pieces);
            let index = leaves.len();
            // Of a book they hold a million of costs, and words that were set again.
            give_up(Each::Small, index, (broken, last));
            return Settled { pieces, leaves, labels, body, index, stands };
        };
        let before = known.next();
        let wider = match &before {
            Some(before) if wider.is(before.answers()) => before.answers().clone(),
            Some(_) | None => Arc::new(wider),
        };
        let again = Setter { answers: &wider, ..*setter };
        column = if memo.keeps() {
            let set = again.set_again(score, Cow::Borrowed(&column), (&answers, before), memo);
            memo.passes.push(Pass::new(column, wider.clone(), &set));
            set
        } else {
            broken.spend();
            again.set_again(score, Cow::Owned(column), (&answers, before), memo)
        };
        answers = wider;
        pass += 1;
        last = Some(broken);
    }
}

impl Setter<'_> {
    /// A column of which the words are set again for which there was too little room as they were `asked`. Of one that
    /// is given and not lent, words are given up while others are set.
    fn set_again(
        &self,
        score: &Score,
        column: Cow<'_, Referring>,
        (asked, known): (&Answers, Option<Pass>),
        memo: &mut PagesMemo,
    ) -> Referring {
        let carried = known.and_then(|known| known.carried(&column, self.answers));
        let (mut column, todo) = carried.unwrap_or_else(|| {
            let todo = mentioning(&column.words, &self.answers.changed_from(asked));
            (column.into_owned(), todo)
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
        let mut set =
            self.words(score, items.collect::<Vec<_>>().into_iter(), &mut memo.words).into_iter();
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
                // Where they stand is as it was, and with it how they follow what stands before them.
                if let (Some(new), Some(old)) = (new.first_mut(), pieces.get(old.start)) {
                    let Measure { opens, before, bond, .. } = old.measure;
                    new.measure = Measure { opens, before, bond, ..new.measure };
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
