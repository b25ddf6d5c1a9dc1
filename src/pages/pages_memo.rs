//! Pieces that were set before.

use super::body_again::{Body, BodyMemo};
use super::broken::Broken;
use super::column::ColumnPiece;
use super::contents_ground::ContentsGround;
use super::engraved::{EngravedBlock, EngravedMemo};
use super::index_memo::IndexMemo;
use super::item_ids::ItemsMemo;
use super::pictures::PicturesMemo;
use super::piece::{Piece, Pieces};
use super::reference::AnswersMemo;
use super::referring::Pass;
use super::setter::Setter;
use super::sheet::Sheet;
use super::words_memo::WordsMemo;
use crate::engrave::Style;
use crate::memo::Memo;
use crate::rope::Rope;
use crate::score::legend::Legend;
use crate::score::{Block, BlockNumber, Header, Item, ProseBlock};
use std::sync::Arc;

/// What blocks and words were set as. By default it keeps nothing. It serves for one set of faces.
#[derive(Debug, Default)]
pub struct PagesMemo {
    keeps: bool,
    /// What all of it was set with.
    ground: Option<Ground>,
    pub(super) engraved: EngravedMemo,
    pub(super) alone: AloneMemo,
    pub(super) rows: RowsMemo,
    pub(super) words: WordsMemo,
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

/// The pieces of blocks that stand alone.
pub(super) type AloneMemo = Memo<Block, (Option<BlockNumber>, EngravedBlock, Pieces)>;

/// Rows of blocks side by side, by the first.
pub(super) type RowsMemo = Memo<Block, SetRow>;

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
                words: WordsMemo::keeping(),
                contents: Memo::keeping(),
                items: ItemsMemo::keeping(),
                answers: AnswersMemo::keeping(),
                pictures: PicturesMemo::keeping(),
                index: IndexMemo::keeping(),
                ..Self::default()
            };
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
                Item::Heading { .. } | Item::Prose(_) => self.words.forget(item),
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
            self.words.end_turn();
        }
    }
}
