//! A block: its head, and which lines are its own.

use super::cursor::{BlockStart, Outline};
use super::stretch::{BlockLines, Thing};
use crate::score::BlockWord;
use crate::source::{Diagnostics, Span, Spanned};
use crate::syntax::grammar::Piece;
use crate::syntax::tree::Block;
use crate::syntax::{codes, rows};

impl<'a> Outline<'a> {
    pub(super) fn block(&mut self, opening: BlockStart<'a>) -> Thing<'a> {
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
        let first = self.at;
        self.skip_lines_of_block(word);
        while self.take_lost_rows(&mut found, at) {
            self.skip_lines_of_block(word);
        }
        let lines = self.lines.get(first..self.at).unwrap_or_default();
        if let Some(body) = self.line().and_then(|line| line.body) {
            self.warn_of_lost_row(body);
        }
        let block = Block {
            word: Spanned::new(word, head.word.span()),
            name: head.name,
            parent: head.parent,
            title: head.title,
            sets: Vec::new(),
            players: Vec::new(),
            span: head.span,
        };
        Thing::Block(Box::new(BlockLines { block, at, lines, found }))
    }

    /// Goes on to the first line that is no part of the block.
    fn skip_lines_of_block(&mut self, word: BlockWord) {
        while let Some(line) = self.line() {
            let goes_on = |body| matches!(rows::line(body, Some(word)), rows::BlockLine::Break);
            if line.body.is_some_and(|body| !line.indented && !goes_on(body)) {
                return;
            }
            self.at += 1;
        }
    }

    /// Takes the lines at the left edge right under the head or a row of a block that starts at a byte,
    /// where they can be nothing but rows. Whether there are any.
    fn take_lost_rows(&mut self, found: &mut Diagnostics, at: usize) -> bool {
        let first = self.at;
        while self.lost_row(self.at).is_some() {
            self.at += 1;
        }
        let lost = self.lines.get(first..self.at).unwrap_or_default();
        let (Some(top), Some(bottom)) = (lost.first(), lost.last()) else { return false };
        let Some(body) = top.body else { return false };
        let rows: Vec<String> = lost.iter().map(|line| format!("  {}", line.text())).collect();
        let all =
            Span::new(top.span.start().saturating_sub(at), bottom.span.end().saturating_sub(at));
        found
            .error(body.counted_from(at).span(), "rows stand under their block, indented")
            .code(codes::ROWS_FLUSH)
            .replace(all, rows.join("\n"), "indent the rows of a block by two spaces");
        true
    }

    /// A line at the left edge right under the rows of a block is prose, even where it reads like
    /// a row.
    fn warn_of_lost_row(&mut self, body: Piece<'_>) {
        let close = self.at.checked_sub(1).and_then(|above| self.lines.get(above));
        if close.is_some_and(|above| above.body.is_some())
            && rows::likeness(body) != rows::Likeness::None
        {
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
