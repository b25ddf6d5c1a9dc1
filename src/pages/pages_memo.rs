//! Pieces that were set before.

use super::break_memo::BreakMemo;
use super::column::ColumnPiece;
use super::engraved::{EngravedBlock, EngravedVersions};
use super::entries_memo::EntriesMemo;
use super::index_ground::IndexGround;
use super::pictures::PicturesMemo;
use super::piece::Piece;
use super::reference::{AnswersMemo, ReferenceText};
use super::sheet::Sheet;
use crate::engrave::Style;
use crate::memo::Memo;
use crate::score::legend::Legend;
use crate::score::{Block, BlockNumber, Header, Inline, Item, ProseBlock};
use std::sync::Arc;

/// Pieces that follow each other, shared with every column they stand in.
pub type Pieces = Arc<[Arc<Piece>]>;

/// The level of a heading, and its words.
pub type ListedHeading = (u8, Arc<str>);

/// What blocks and words were set as. By default it keeps nothing. It serves for one set of faces.
#[derive(Debug, Default)]
pub struct PagesMemo {
    keeps: bool,
    /// What all of it was set with.
    ground: Option<Ground>,
    pub(super) engraved: Memo<Block, EngravedVersions>,
    /// The pieces of blocks that stand alone.
    pub(super) alone: Memo<Block, (Option<BlockNumber>, EngravedBlock, Pieces)>,
    /// Rows of blocks side by side, by the first.
    pub(super) rows: Memo<Block, SetRow>,
    pub(super) headings: Memo<[Inline], Versions>,
    pub(super) prose: Memo<ProseBlock, Versions>,
    /// Lines of the contents, by the words of their heading.
    pub(super) contents: Memo<str, (u8, Pieces)>,
    /// All of them, and the level and the words of each.
    pub(super) all_contents: Option<(Vec<ListedHeading>, Vec<ColumnPiece>)>,
    pub(super) answers: AnswersMemo,
    pub(super) pictures: PicturesMemo,
    pub(super) breaks: BreakMemo,
    /// The title, or the title page.
    pub(super) front: Option<Vec<ColumnPiece>>,
    pub(super) index_entries: EntriesMemo,
    /// The notation key.
    pub(super) key: Option<(Legend, Vec<ColumnPiece>)>,
    /// The pages of the index, and what they were set from.
    pub(super) index: Option<(IndexGround, Vec<Vec<ColumnPiece>>)>,
}

#[derive(Clone, Debug, PartialEq)]
struct Ground {
    header: Header,
    style: Style,
    sheet: Sheet,
    number_width: f64,
}

/// Blocks that were set side by side.
#[derive(Clone, Debug)]
pub(super) struct SetRow {
    /// The blocks, their numbers and their lines.
    pub(super) cells: Vec<(Arc<Block>, Option<BlockNumber>, EngravedBlock)>,
    pub(super) columns: usize,
    /// The prose that was to stand beside them.
    pub(super) beside: Option<Arc<ProseBlock>>,
    pub(super) piece: Arc<Piece>,
}

/// Words that were set, in the versions that were wanted last: page numbers are known only when pages
/// were broken once.
#[derive(Clone, Debug, Default)]
pub(super) struct Versions(Vec<SetWords>);

/// How many versions are kept: with no page number, with one, and with one of more figures.
const VERSIONS: usize = 3;

impl Versions {
    pub(super) fn get(&self, told: &WordsContext) -> Option<&Pieces> {
        self.0.iter().find(|set| set.told == *told).map(|set| &set.pieces)
    }

    pub(super) fn put(&mut self, set: SetWords) {
        if self.0.len() == VERSIONS {
            self.0.remove(0);
        }
        self.0.push(set);
    }
}

/// Words that were set.
#[derive(Clone, Debug)]
pub(super) struct SetWords {
    pub(super) told: WordsContext,
    pub(super) pieces: Pieces,
}

/// What the pieces of words depend on beside the words.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct WordsContext {
    /// The level of a heading, and the number of its chapter.
    pub(super) heading: Option<(u8, Option<u32>)>,
    /// Whether they stand under music.
    pub(super) under_music: bool,
    /// What their references print.
    pub(super) references: Vec<ReferenceText>,
    /// Their pictures, by where they lie in memory; what was set of them holds on to them.
    pub(super) pictures: Vec<Option<usize>>,
}

impl PagesMemo {
    /// One that keeps what is set.
    #[must_use]
    pub fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }

    /// Forgets all that was set otherwise than with these.
    pub(super) fn set_with(
        &mut self,
        header: &Header,
        style: &Style,
        (sheet, number_width): (&Sheet, f64),
    ) {
        if !self.keeps {
            return;
        }
        let same = self.ground.as_ref().is_some_and(|ground| {
            (&ground.header, &ground.style, &ground.sheet, ground.number_width)
                == (header, style, sheet, number_width)
        });
        if !same {
            let (header, style, sheet) = (header.clone(), style.clone(), sheet.clone());
            *self = Self {
                keeps: true,
                ground: Some(Ground { header, style, sheet, number_width }),
                engraved: Memo::keeping(),
                alone: Memo::keeping(),
                rows: Memo::keeping(),
                headings: Memo::keeping(),
                prose: Memo::keeping(),
                contents: Memo::keeping(),
                answers: AnswersMemo::keeping(),
                breaks: BreakMemo::keeping(),
                index_entries: EntriesMemo::keeping(),
                ..Self::default()
            };
        }
    }

    /// What the words of an item were set as; what is no words is set as nothing.
    pub(super) fn known_words(&mut self, item: &Item, told: &WordsContext) -> Option<Pieces> {
        let versions = match item {
            Item::Heading { text, .. } => self.headings.get(text),
            Item::Prose(prose) => self.prose.get(&prose.value),
            Item::Block(_) => return Some(Pieces::default()),
        };
        versions?.get(told).cloned()
    }

    /// Keeps what the words of an item were set as.
    pub(super) fn keep_words(&mut self, item: &Item, set: SetWords) {
        let versions = match item {
            Item::Heading { text, .. } => self.headings.entry(text),
            Item::Prose(prose) => self.prose.entry(&prose.value),
            Item::Block(_) => None,
        };
        if let Some(versions) = versions {
            versions.put(set);
        }
    }

    /// Whether it keeps what is set.
    pub(super) fn keeps(&self) -> bool {
        self.keeps
    }

    /// Forgets what was not asked for since this was called before.
    pub fn end_turn(&mut self) {
        self.engraved.end_turn();
        self.alone.end_turn();
        self.rows.end_turn();
        self.headings.end_turn();
        self.prose.end_turn();
        self.contents.end_turn();
        self.breaks.end_turn();
    }
}
