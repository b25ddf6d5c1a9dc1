//! What a text came to, for whoever asks about it.

use crate::score::{Item as ScoreItem, Placed, PlacedBlock, Score};
use crate::session::Session;
use crate::source::{FileId, Source};
use crate::syntax::tree::{Block, Document, Item};

/// A text, its tree and what it means.
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    /// The text and the files it includes.
    pub source: &'a Source,
    /// Their tree.
    pub document: &'a Document,
    /// What they mean, as far as it can be understood.
    pub score: &'a Score,
}

impl<'a> View<'a> {
    /// What a session looked at last.
    #[must_use]
    pub fn of(session: &'a Session) -> Self {
        Self { source: session.source(), document: session.document(), score: session.score() }
    }

    /// The file of a name.
    #[must_use]
    pub fn file(&self, name: &str) -> Option<FileId> {
        (0..self.source.files()).map(FileId).find(|file| self.source.name_of(*file) == name)
    }

    /// The blocks, in reading order.
    pub(super) fn blocks(&self) -> impl Iterator<Item = &'a Placed<Block>> + use<'a> {
        self.document.blocks()
    }

    /// The block whose lines hold a byte, or its end.
    #[must_use]
    pub fn block_at(&self, offset: usize) -> Option<&'a Placed<Block>> {
        let file = self.source.file_at(offset);
        let above = self.blocks().filter(|block| block.at <= offset);
        let last = above.max_by_key(|block| block.at)?;
        let whole = last.whole().moved(last.at);
        let holds = self.source.file_at(last.at) == file && offset <= whole.end();
        // A line may go on after what was read of it.
        let same_line = |byte: usize| self.source.line_at(byte).start();
        (holds || same_line(offset) == same_line(whole.end())).then_some(last)
    }

    /// What a block came to; the first where it is a series.
    pub(super) fn score_of(&self, block: &Placed<Block>) -> Option<&'a PlacedBlock> {
        let items = self.score.items_once().chain(&self.score.left_out);
        let mut placed = items.filter_map(|item| match item {
            ScoreItem::Block(placed) => Some(placed),
            ScoreItem::Heading { .. } | ScoreItem::Prose(_) => None,
        });
        placed.find(|placed| placed.at == block.at)
    }

    /// Where an item stands; nothing for the end of a file.
    pub(super) fn place_of(item: &Item) -> Option<usize> {
        match item {
            Item::Heading(heading) => Some(heading.span.start()),
            Item::Prose(prose) => Some(prose.at),
            Item::Block(block) => Some(block.at),
            Item::Include(name) => Some(name.span.start()),
            Item::FileStart(_) | Item::FileEnd => None,
        }
    }

    /// The items that stand in a file, in order.
    pub(super) fn items_of(
        &self,
        file: FileId,
    ) -> impl Iterator<Item = (usize, &'a Item)> + use<'a> {
        let whole = self.source.span_of(file);
        let placed =
            self.document.items.iter().filter_map(|item| Some((Self::place_of(item)?, item)));
        placed.filter(move |(at, _)| whole.touches(*at))
    }
}
