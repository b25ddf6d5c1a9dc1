//! A block: its head, and its sets of rows.

use super::cursor::{BlockStart, Outline};
use super::sets::Sets;
use crate::score::BlockWord;
use crate::source::{Diagnostics, Span, Spanned};
use crate::syntax::grammar::Piece;
use crate::syntax::tree::{Block, Item, RowSet};
use crate::syntax::{codes, rows};

impl Outline<'_, '_> {
    pub(super) fn block(&mut self, opening: BlockStart<'_>) {
        let BlockStart { head, word, at } = opening;
        let mut found = Diagnostics::default();
        if head.exact.is_none() {
            let fault = found
                .error(head.word.span(), format!("`{}` is no kind of block", head.word.text))
                .code(codes::BLOCK_UNKNOWN);
            match head.meant().map(BlockWord::as_str) {
                Some(meant) => {
                    fault.replace(head.word.span(), meant, format!("did you mean `{meant}`?"));
                }
                None => fault.mend(format!(
                    "a block starts with one of: {}",
                    BlockWord::ALL.map(BlockWord::as_str).join(", ")
                )),
            }
        }
        head.report(&mut found);
        self.at += 1;
        let sets = self.sets(word, at, &mut found);
        self.diagnostics.absorb(found, at);
        self.document.items.push(Item::Block(Block {
            word: Spanned::new(word, head.word.span()),
            name: head.name,
            parent: head.parent,
            title: head.title,
            sets,
            span: head.span,
            at,
        }));
    }

    /// The sets of a block that starts at a byte, with their places counted from there.
    fn sets(&mut self, word: BlockWord, at: usize, found: &mut Diagnostics) -> Vec<RowSet> {
        let mut sets = Sets::new(word);
        while let Some(line) = self.line() {
            if let Some(body) = line.body {
                let is_break = matches!(rows::line(body, Some(word)), rows::BlockLine::Break);
                if !line.indented && !is_break {
                    self.warn_of_lost_row(body);
                    break;
                }
                let body = body.counted_from(at);
                sets.take(body, rows::line(body, Some(word)), &self.rows, found);
            }
            self.at += 1;
        }
        sets.finish(found)
    }

    /// A line at the left edge right under the rows of a block is prose, even where it reads like
    /// a row.
    fn warn_of_lost_row(&mut self, body: Piece<'_>) {
        let close = self.at.checked_sub(1).and_then(|above| self.lines.get(above));
        if close.is_some_and(|above| above.body.is_some()) && rows::is_surely_row(body) {
            self.diagnostics
                .warning(body.span(), "this line is printed as prose, for it is not indented")
                .code(codes::ROW_LOST)
                .replace(
                    Span::new(body.start, body.start),
                    "  ",
                    "indent it by two spaces if it is a row of the block above it",
                );
        }
    }
}
