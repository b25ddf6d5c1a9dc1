//! What contents are set of.

use super::column::ColumnPiece;
use super::item_ids::ItemIds;
use super::piece::OutlineHeading;
use crate::rope::Rope;
use std::sync::Arc;

/// A level that is deeper than any that is listed.
const UNLISTED: u8 = u8::MAX;

/// What contents are set of.
#[derive(Debug)]
pub struct ContentsGround {
    /// The pieces of what they list.
    pub listed: Rope<ColumnPiece>,
    /// The ids of its items.
    pub ids: ItemIds,
    /// The headings of the index.
    pub index: Vec<OutlineHeading>,
    /// The item over the answers, by its index.
    pub answers: Option<usize>,
}

impl ContentsGround {
    /// The level and the words of each heading.
    pub fn all(&self) -> Vec<(u8, &Arc<str>)> {
        // What is an answer stands in the outline, and is not listed.
        let is_answer = |block: Option<usize>| self.answers.is_some_and(|over| block > Some(over));
        let level = |level: u8, block| if is_answer(block) { UNLISTED } else { level };
        let headings = self.listed.iter().flat_map(|piece| {
            piece.headings().map(move |heading| (heading, piece.index_of(heading, &self.ids)))
        });
        let headings =
            headings.map(|(heading, block)| (level(heading.level, block), &heading.words));
        headings.chain(self.index.iter().map(|heading| (heading.level, &heading.words))).collect()
    }

    /// The headings down to a level whose words are not as they were; nothing where anything else is listed.
    pub fn changes_from<'g>(
        &'g self,
        other: &'g Self,
        deepest: u8,
    ) -> Option<Vec<ChangedHeading<'g>>> {
        if self.index != other.index || (self.answers, other.answers) != (None, None) {
            return None;
        }
        let change = self.listed.changed_from(&other.listed, ColumnPiece::is_as);
        let count = |piece: &ColumnPiece| usize::from(piece.headed);
        let first = self.listed.range(0..change.new.start).map(count).sum();
        let (own, its) = (self.listed.range(change.new), other.listed.range(change.old));
        let (own, mut its) =
            (own.flat_map(ColumnPiece::headings), its.flat_map(ColumnPiece::headings));
        let mut changed = Vec::new();
        for (entry, heading) in (first..).zip(own) {
            let known = its.next()?;
            if heading.level != known.level {
                return None;
            }
            if heading.level <= deepest && heading.words != known.words {
                let (words, known) = (&heading.words, &known.words);
                changed.push(ChangedHeading { entry, level: heading.level, words, known });
            }
        }
        its.next().is_none().then_some(changed)
    }
}

/// A heading with other words than it had.
pub struct ChangedHeading<'g> {
    /// Its entry in the outline.
    pub entry: usize,
    /// Its level.
    pub level: u8,
    /// Its words.
    pub words: &'g Arc<str>,
    /// Those that it had.
    pub known: &'g Arc<str>,
}
