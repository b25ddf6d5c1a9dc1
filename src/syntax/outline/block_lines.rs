//! The lines of a block, set aside until all blocks are known.

use super::sets::Sets;
use crate::score::BlockWord;
use crate::source::Diagnostics;
use crate::syntax::lines::Line;
use crate::syntax::rows;
use crate::syntax::rows::Rows;
use crate::syntax::tree::RowSet;

/// A block whose rows are not read yet.
pub(super) struct BlockLines<'a> {
    /// Its index among the items.
    pub(super) item: usize,
    pub(super) word: BlockWord,
    /// The byte of the source it starts at.
    pub(super) at: usize,
    pub(super) lines: &'a [Line<'a>],
    /// What was found outside of blocks since the block before.
    pub(super) before: Diagnostics,
    /// What was found in its head.
    pub(super) found: Diagnostics,
}

impl BlockLines<'_> {
    /// Its sets, with their places counted from its start.
    pub(super) fn sets(&mut self, rows: &Rows) -> Vec<RowSet> {
        let mut sets = Sets::new(self.word);
        for body in self.lines.iter().filter_map(|line| line.body) {
            let body = body.counted_from(self.at);
            sets.take(body, rows::line(body, Some(self.word)), rows, &mut self.found);
        }
        sets.finish(&mut self.found)
    }
}
