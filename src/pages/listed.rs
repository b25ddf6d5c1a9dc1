//! Which page each entry of the outline stands on.

use super::breaking::Leaf;
use super::column::ColumnPiece;
use super::item_ids::{ByItem, ItemIds};
use crate::rope::Rope;

/// Where headings and blocks stand.
#[derive(Clone, Debug, Default)]
pub struct Listed {
    /// The page of each entry of the outline.
    pub pages: Vec<usize>,
    /// The entry of the outline of each heading and of each block.
    pub entries: ByItem<usize>,
    /// Entries of parts and chapters.
    pub chapters: Vec<ListedChapter>,
}

/// A part or a chapter of the outline.
#[derive(Clone, Copy, Debug)]
pub struct ListedChapter {
    /// Its page.
    pub page: usize,
    /// How many entries stand before it on that page.
    pub nth: usize,
}

/// The deepest level of parts and chapters.
const CHAPTER: u8 = 1;

impl Listed {
    /// What stands on pages.
    pub fn of(pieces: &Rope<ColumnPiece>, leaves: &[Leaf], ids: &ItemIds) -> Self {
        let mut listed = Self::default();
        let mut pieces = pieces.iter();
        for (page, leaf) in leaves.iter().enumerate() {
            let first = listed.pages.len();
            for piece in pieces.by_ref().take(leaf.pieces.len()) {
                if piece.headed > 0 {
                    listed.add((piece, ids), page, first);
                }
            }
        }
        listed
    }

    /// Adds the entries of a piece of a page, whose first entry is of this number.
    fn add(&mut self, (piece, ids): (&ColumnPiece, &ItemIds), page: usize, first: usize) {
        let entry = self.pages.len();
        if piece.has_words() {
            let levels = piece.headings().map(|heading| heading.level).enumerate();
            let chapters =
                levels.filter(|(_, level)| *level <= CHAPTER).map(|(nth, _)| entry + nth);
            let chapter = |entry| ListedChapter { page, nth: entry - first };
            self.chapters.extend(chapters.map(chapter));
        }
        let heads = piece.heads(ids).enumerate();
        heads.for_each(|(nth, item)| self.entries.put(item, entry + nth));
        self.pages.extend(std::iter::repeat_n(page, usize::from(piece.headed)));
    }
}
