//! Where the reader of a file is, and whether a block opens there.

use crate::score::BlockWord;
use crate::source::Diagnostics;
use crate::syntax::grammar::Piece;
use crate::syntax::head::BlockHead;
use crate::syntax::lines::Line;
use crate::syntax::rows::{self, BlockLine, Likeness};
use crate::syntax::sticks;
use crate::syntax::tree::Setting;

/// Reads the lines of a file one after another.
pub(super) struct Outline<'a> {
    pub(super) lines: &'a [Line<'a>],
    pub(super) at: usize,
    /// The header's.
    pub(super) settings: Vec<Setting>,
    /// The faults of what is being read.
    pub(super) diagnostics: Diagnostics,
}

/// A block about to be read.
pub(super) struct BlockStart<'a> {
    pub(super) head: BlockHead<'a>,
    pub(super) word: BlockWord,
    /// The byte of the source it starts at; the places of its head count from there.
    pub(super) at: usize,
}

impl<'a> Outline<'a> {
    /// An outline of these lines.
    pub(super) fn new(lines: &'a [Line<'a>]) -> Self {
        Self { lines, at: 0, settings: Vec::new(), diagnostics: Diagnostics::default() }
    }

    pub(super) fn line(&self) -> Option<&'a Line<'a>> {
        self.lines.get(self.at)
    }

    /// The next line with a body, where it is indented.
    fn follower(&self, at: usize) -> Option<Piece<'a>> {
        let line = self.lines.get(at + 1..)?.iter().find(|line| line.body.is_some())?;
        line.body.filter(|_| line.indented)
    }

    /// A line of the block above it that is not indented: what can be nothing but a row, and a key
    /// under a line that is not indented either.
    pub(super) fn lost_row(&self, at: usize) -> Option<Piece<'a>> {
        let above = at.checked_sub(1).and_then(|above| self.lines.get(above))?;
        let body = self.lines.get(at).filter(|line| !line.indented)?.body?;
        let small = |key: Piece<'_>| key.text.starts_with(|c: char| c.is_ascii_lowercase());
        let lost = match rows::line(body, None) {
            BlockLine::Row(name, Some(rule))
                if name.text == "stick" && sticks::is_rule(rule.text) =>
            {
                !above.indented
            }
            BlockLine::Row(..) => rows::likeness(body) == Likeness::Certain,
            BlockLine::Setting(key, _) => !above.indented && small(key),
            BlockLine::Break | BlockLine::Player(..) => false,
        };
        (lost && above.body.is_some()).then_some(body)
    }

    /// Decides whether a line at the left edge opens a block. An indented line must follow, or one
    /// that can be nothing but a row. Then it does if it starts with a block word and has a block's
    /// shape; and where the shape is wrong or the word misspelt, if a title in quotes or the line
    /// that follows shows that a block was meant.
    pub(super) fn opening(&self, at: usize, body: Piece<'a>) -> Option<BlockStart<'a>> {
        let (lost, follower) = (self.lost_row(at + 1), self.follower(at));
        // Most prose is known by what follows it.
        lost.or(follower)?;
        let head = BlockHead::read(body.counted_from(body.start));
        let named = head.title.is_some() || head.parent.is_some();
        let lost = lost.filter(|row| named || rows::likeness(*row) == Likeness::Certain);
        let follower = lost.or(follower)?;
        let meant = head.title.is_some() || rows::looks_like_row(follower);
        let word = match head.exact {
            Some(word) if head.is_whole() || meant => word,
            Some(_) => return None,
            // What begins with a quote has no word that could be misspelt.
            None if head.word.text.is_empty() => return None,
            None if head.is_whole() && head.title.is_some() && is_word(head.word.text) => {
                head.meant().unwrap_or(BlockWord::Exercise)
            }
            None if meant => head.meant()?,
            None => return None,
        };
        Some(BlockStart { head, word, at: body.start })
    }
}

/// Whether these are letters, as a word for a block would be.
fn is_word(text: &str) -> bool {
    text.chars().all(|c| c.is_alphabetic() || c == '-')
}
