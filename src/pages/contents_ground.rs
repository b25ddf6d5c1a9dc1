//! What contents are set of.

use super::column::ColumnPiece;
use super::piece::OutlineHeading;
use crate::rope::Rope;
use std::sync::Arc;

/// A level that is deeper than any that is listed.
const UNLISTED: u8 = u8::MAX;

/// What contents are set of: the pieces of what they list, the headings of the index, and the item over the
/// answers.
#[derive(Debug)]
pub struct ContentsGround {
    listed: Rope<ColumnPiece>,
    index: Vec<OutlineHeading>,
    answers: Option<usize>,
}

impl ContentsGround {
    /// These.
    pub fn new(
        listed: Rope<ColumnPiece>,
        index: Vec<OutlineHeading>,
        answers: Option<usize>,
    ) -> Self {
        Self { listed, index, answers }
    }

    /// The level and the words of each heading.
    pub fn all(&self) -> Vec<(u8, &Arc<str>)> {
        // What is an answer stands in the outline, and is not listed.
        let is_answer = |block: Option<usize>| self.answers.is_some_and(|over| block > Some(over));
        let level = |level: u8, block| if is_answer(block) { UNLISTED } else { level };
        let headings = self.listed.iter().flat_map(ColumnPiece::headings);
        let headings =
            headings.map(|(heading, block)| (level(heading.level, block), &heading.words));
        headings.chain(self.index.iter().map(|heading| (heading.level, &heading.words))).collect()
    }

    /// Whether the same is listed.
    pub fn is_as(&self, other: &Self) -> bool {
        let change = self.listed.changed_from(&other.listed, ColumnPiece::is_as);
        let (own, its) = (self.listed.range(change.new), other.listed.range(change.old));
        let heading = |(heading, _): (&OutlineHeading, _)| (heading.level, heading.words.clone());
        let headings = |piece| ColumnPiece::headings(piece).map(heading);
        let same = own.flat_map(headings).eq(its.flat_map(headings));
        same && self.index == other.index && (self.answers, other.answers) == (None, None)
    }
}
