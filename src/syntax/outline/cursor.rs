//! Where the reader of a file is, and whether a block opens there.

use super::block_lines::BlockLines;
use crate::score::BlockWord;
use crate::source::Diagnostics;
use crate::syntax::grammar::Piece;
use crate::syntax::head::BlockHead;
use crate::syntax::lines::Line;
use crate::syntax::rows;
use crate::syntax::rows::Rows;
use crate::syntax::tree::Document;

/// Builds the tree of a file.
pub(super) struct Outline<'a, 'd> {
    pub(super) lines: &'a [Line<'a>],
    pub(super) at: usize,
    pub(super) rows: Rows,
    pub(super) document: Document,
    /// The blocks, whose rows are read last.
    pub(super) blocks: Vec<BlockLines<'a>>,
    pub(super) diagnostics: &'d mut Diagnostics,
}

/// A block about to be read.
pub(super) struct BlockStart<'a> {
    pub(super) head: BlockHead<'a>,
    pub(super) word: BlockWord,
    /// The byte of the source it starts at; the places of its head count from there.
    pub(super) at: usize,
}

impl<'a, 'd> Outline<'a, 'd> {
    /// An outline of these lines.
    pub(super) fn new(lines: &'a [Line<'a>], diagnostics: &'d mut Diagnostics) -> Self {
        let mut outline = Self {
            lines,
            at: 0,
            rows: Rows { instruments: Vec::new() },
            document: Document::default(),
            blocks: Vec::new(),
            diagnostics,
        };
        outline.rows.instruments = outline.kit_names();
        outline
    }

    pub(super) fn line(&self) -> Option<&'a Line<'a>> {
        self.lines.get(self.at)
    }

    /// Names of instruments, so that a row called after one is not taken for a misspelt word.
    fn kit_names(&self) -> Vec<String> {
        let mut names = Vec::new();
        let mut in_kit = false;
        for line in self.lines {
            let Some(body) = line.body else { continue };
            if !line.indented {
                in_kit = BlockHead::read(body).exact == Some(BlockWord::Kit);
            } else if in_kit
                && let rows::BlockLine::Row(_, Some(content)) =
                    rows::line(body, Some(BlockWord::Kit))
                && let Some(name) = content.text.split([',', ' ', '\t']).next()
            {
                names.push(name.to_owned());
                let others =
                    content.text.split(',').filter_map(|part| part.trim().strip_prefix("also "));
                names.extend(others.map(|other| other.trim().to_owned()));
            }
        }
        names
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
