//! Pieces that were set before.

use super::body_again::{Body, BodyMemo};
use super::broken::Broken;
use super::column::ColumnPiece;
use super::contents_ground::ContentsGround;
use super::engraved::{EngravedBlock, EngravedVersions};
use super::index_memo::IndexMemo;
use super::item_ids::ItemsMemo;
use super::pictures::PicturesMemo;
use super::piece::Piece;
use super::reference::{AnswersMemo, ReferenceText};
use super::referring::Pass;
use super::setter::Setter;
use super::sheet::Sheet;
use crate::engrave::Style;
use crate::memo::Memo;
use crate::rope::Rope;
use crate::score::legend::Legend;
use crate::score::{Block, BlockNumber, Header, Inline, Item, ProseBlock};
use std::sync::Arc;

/// Pieces that follow each other, shared with every column they stand in.
pub type Pieces = Arc<[Arc<Piece>]>;

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
    /// All of them, and what they were set of.
    pub(super) all_contents: Option<(ContentsGround, Rope<ColumnPiece>)>,
    pub(super) items: ItemsMemo,
    pub(super) answers: AnswersMemo,
    /// The body, set.
    pub(super) body: Option<BodyMemo>,
    /// Whether it was set whole this time.
    all: bool,
    pub(super) pictures: PicturesMemo,
    /// What settled the pages, pass by pass.
    pub(super) passes: Vec<Pass>,
    /// How the pages were broken, pass by pass.
    pub(super) breaks: Vec<Broken>,
    /// The title, or the title page.
    pub(super) front: Option<Vec<ColumnPiece>>,
    /// The notation key.
    pub(super) key: Option<(Legend, Vec<ColumnPiece>)>,
    pub(super) index: IndexMemo,
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
                items: ItemsMemo::keeping(),
                answers: AnswersMemo::keeping(),
                pictures: PicturesMemo::keeping(),
                index: IndexMemo::keeping(),
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

    /// Notes that the whole body is set this time.
    pub(super) fn set_all(&mut self) {
        self.all = true;
    }

    /// Keeps a body.
    pub(super) fn keep_body(&mut self, setter: &Setter<'_>, body: &Body) {
        if self.keeps {
            self.body = Some(BodyMemo::new(setter, body));
        }
    }

    /// Forgets what was made of items that are set again, but for those that are among the new pieces.
    pub(super) fn forget<'i>(&mut self, old: impl Iterator<Item = &'i Item>, new: &[&Item]) {
        for item in old.filter(|old| !new.iter().any(|new| new.is_same_thing(old))) {
            match item {
                Item::Heading { text, .. } => self.headings.forget(text),
                Item::Prose(prose) => self.prose.forget(&prose.value),
                Item::Block(block) => {
                    self.engraved.forget(&block.block);
                    self.alone.forget(&block.block);
                    self.rows.forget(&block.block);
                }
            }
        }
    }

    /// Whether it keeps what is set.
    pub(super) fn keeps(&self) -> bool {
        self.keeps
    }

    /// Forgets what was not asked for since this was called before.
    pub fn end_turn(&mut self) {
        if std::mem::take(&mut self.all) {
            self.engraved.end_turn();
            self.alone.end_turn();
            self.rows.end_turn();
            self.headings.end_turn();
            self.prose.end_turn();
        }
    }
}
