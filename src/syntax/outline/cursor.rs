//! Where the reader of a file is, and whether a block opens there.

use crate::score::BlockWord;
use crate::source::Diagnostics;
use crate::syntax::grammar::Piece;
use crate::syntax::head::BlockHead;
use crate::syntax::lines::Line;
use crate::syntax::rows;
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

    /// Decides whether a line at the left edge opens a block. An indented line must follow. Then
    /// it does if it starts with a block word and has a block's shape; and where the shape is
    /// wrong or the word misspelt, if a title in quotes or the line that follows shows that a
    /// block was meant.
    pub(super) fn opening(&self, at: usize, body: Piece<'a>) -> Option<BlockStart<'a>> {
        let follower = self.follower(at)?;
        let head = BlockHead::read(body.counted_from(body.start));
        let meant = head.title.is_some() || rows::looks_like_row(follower);
        let word = match head.exact {
            Some(word) if head.is_whole() || meant => word,
            Some(_) => return None,
            None if head.is_whole() && head.title.is_some() => {
                head.meant().unwrap_or(BlockWord::Exercise)
            }
            None if meant => head.meant()?,
            None => return None,
        };
        Some(BlockStart { head, word, at: body.start })
    }
}
