//! The body as it grows, item by item: each set item takes its place after those before it.

use super::ahead::SetItems;
use super::beside;
use super::beside::Beside;
use super::body_again::{NewBody, Step};
use super::bond;
use super::codes;
use super::column::ColumnPiece;
use super::edges::{begins_series, opens_page};
use super::engraved::{BlockAmong, EngravedBlock};
use super::grid::GridBlock;
use super::opens;
use super::pages_memo::{AloneMemo, RowsMemo, SetRow};
use super::picture;
use super::piece::{Opens, Piece, Pieces};
use super::referring::ReferringWords;
use super::setter::Setter;
use crate::engrave::System;
use crate::parallel::Stop;
use crate::score::printing::BlocksOnPages;
use crate::score::settings::Contents;
use crate::score::{Item, PlacedBlock, Score};
use std::sync::Arc;

/// The body as it grows.
pub struct Growing<'a, 'd> {
    setter: Setter<'a>,
    score: &'a Score,
    alone: &'d mut AloneMemo,
    rows: &'d mut RowsMemo,
    /// A picture of each block is wanted too.
    pictures: bool,
    /// Items that are set, and the next to take their places.
    set: SetItems,
    body: NewBody,
    /// The first piece of the headings right before.
    head: Option<usize>,
    /// What was told of the grid that goes on: the columns asked for, and those that are set.
    told_of: Option<(usize, usize)>,
}

/// How far a body has grown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grown {
    /// Up to the item of an index, which waits for others to be set.
    To(usize),
    /// Up to the last item or to one that ends them, of an index.
    Whole(usize),
}

impl<'a, 'd> Growing<'a, 'd> {
    /// Nothing yet.
    pub fn new(
        setter: Setter<'a>,
        score: &'a Score,
        (alone, rows): (&'d mut AloneMemo, &'d mut RowsMemo),
        pictures: bool,
        body: NewBody,
    ) -> Self {
        let set = SetItems::default();
        Self { setter, score, alone, rows, pictures, set, body, head: None, told_of: None }
    }

    /// What has grown.
    pub fn body(self) -> NewBody {
        self.body
    }

    /// Takes the next items that are set, where those before an index are in their places; up to which it has them now.
    pub fn take(&mut self, index: usize, next: SetItems) -> usize {
        self.set.go_on(index, next);
        self.set.end()
    }

    /// Gives the items from an index on their places, up to the last that is set or to one that `ends` them; nothing
    /// where the work was stopped.
    pub fn items(
        &mut self,
        mut index: usize,
        stop: Stop<'_>,
        ends: impl Fn(usize) -> bool,
    ) -> Option<Grown> {
        let score = self.score;
        while let Some(item) = score.items.get(index) {
            if stop() {
                return None;
            }
            if ends(index) {
                break;
            }
            if self.waits(index, item) {
                return Some(Grown::To(index));
            }
            let first = self.body.pieces.len();
            self.body.steps.push(Step { item: index, piece: first });
            let items = match item {
                Item::Block(block) => self.row(index, block.settings.columns as usize),
                Item::Heading { .. } | Item::Prose(_) => {
                    self.told_of = None;
                    self.words(index, item);
                    1
                }
            };
            self.begin(index, first);
            self.open(item, first);
            let last = index + items - 1;
            if last + 1 < score.items.len()
                && score.items.get(last).and_then(Item::block).is_some_and(keeps_next)
                && let Some(piece) = self.body.pieces.last_mut()
            {
                piece.measure.keep_with_next = true;
            }
            index += items;
        }
        Some(Grown::Whole(index))
    }

    /// Whether the item of an index, or one that may stand in a row with it, is not set yet.
    fn waits(&self, index: usize, item: &Item) -> bool {
        let (end, items) = (self.set.end(), self.score.items.len());
        let in_row = |block: &PlacedBlock| {
            let columns = block.settings.columns as usize;
            index + columns > end && index + side_by_side(self.score, index, columns).count() > end
        };
        index >= end || end < items && item.block().is_some_and(in_row)
    }

    /// The block of an index, engraved.
    fn engraved(&self, index: usize, block: &PlacedBlock) -> EngravedBlock {
        self.set.block(index).unwrap_or_else(|| {
            let among = BlockAmong { items: &[], index: 0, block, first_in_row: true };
            EngravedBlock::of(&self.setter, among)
        })
    }

    /// Says how the item of an index, which begins with a piece, follows what stands before it.
    fn begin(&mut self, index: usize, first: usize) {
        let score = self.score;
        let Some(first) = self.body.pieces.get_mut(first) else { return };
        first.measure.bond = bond::between(&score.items, index);
        if first.measure.opens == Opens::Anywhere && opens::begins_page(score, index) {
            first.measure.opens = Opens::NewPage;
        }
        if let Some(Item::Heading { level, .. }) =
            index.checked_sub(1).and_then(|i| score.items.get(i))
        {
            first.measure.before = self.setter.sheet.heading(*level).after;
        }
    }

    /// Says where an item opens, which begins with a piece: a block as it asks, with the headings right over
    /// it.
    fn open(&mut self, item: &Item, first: usize) {
        match item {
            Item::Heading { .. } => {
                self.head.get_or_insert(first);
            }
            Item::Block(block) => {
                if let Some(piece) = self.body.pieces.get_mut(self.head.take().unwrap_or(first)) {
                    let starts = opens::of_block(block.settings.layout.starts);
                    piece.measure.opens = starts.over(piece.measure.opens);
                }
            }
            Item::Prose(_) => self.head = None,
        }
    }

    /// Sets an item that is no music.
    fn words(&mut self, index: usize, item: &Item) {
        let header = &self.score.header;
        let mut set = self.set.words(index);
        let first = self.body.pieces.len();
        if let (Some(piece), Item::Heading { level: 0 | 1, .. }) = (set.first_mut(), item)
            && (self.body.over || first > 0 || header.contents != Contents::None)
        {
            piece.measure.opens = opens::of_chapter(header);
        }
        self.body.pieces.extend(set);
        let pieces = first..self.body.pieces.len();
        self.body.referring.extend(ReferringWords::of((index, item), pieces));
    }

    /// Sets as many of the blocks from an index on as stand side by side in columns; how many these
    /// are.
    fn row(&mut self, index: usize, asked: usize) -> usize {
        let setter = self.setter;
        let mut columns = asked;
        let mut cells: Vec<GridBlock<'a>> = Vec::new();
        for (nth, block) in side_by_side(self.score, index, asked).enumerate() {
            let engraved = self.engraved(index + nth, block);
            if nth == 0 {
                columns = engraved.columns;
                self.tell_columns(index, block, &engraved);
            }
            if engraved.columns == 1 || nth == columns {
                // What does not fit a column has lines of its own.
                if nth == 0 {
                    self.alone(index, block, engraved);
                    return 1;
                }
                break;
            }
            let begins_series = nth == 0 && {
                let two: Vec<&Item> = self.score.items.range(index..index + 2).collect();
                begins_series(&two, 0)
            };
            cells.push(GridBlock { block, engraved, begins_series });
        }
        if self.pictures {
            cells.iter().for_each(|cell| self.picture(cell.block));
        }
        let beside = match cells.len() {
            1 => beside::of(self.score, index),
            _ => None,
        };
        let piece = self.side_by_side(&cells, columns, beside);
        let with_prose = !piece.nodes.is_empty();
        self.body.pieces.push(ColumnPiece::of_item(piece, setter.ids.id(index)));
        cells.len().max(1) + usize::from(with_prose)
    }

    /// Blocks side by side as a piece, or one with prose beside it, where that fits.
    fn side_by_side(
        &mut self,
        cells: &[GridBlock<'a>],
        columns: usize,
        beside: Option<Beside<'_>>,
    ) -> Arc<Piece> {
        let Some(first) = cells.first() else { return Arc::default() };
        let same = |row: &&SetRow| {
            let mut known = row.cells.iter().zip(cells);
            let same = known.all(|((block, number, engraved), cell)| {
                Arc::ptr_eq(block, &cell.block.block)
                    && *number == cell.block.number
                    && engraved.is_same(&cell.engraved)
            });
            let prose = row.beside.as_ref().map(Arc::as_ptr);
            let same = same && prose == beside.map(|beside| Arc::as_ptr(&beside.prose.value));
            row.columns == columns && row.cells.len() == cells.len() && same
        };
        if let Some(row) = self.rows.get(&first.block.block).filter(same) {
            return row.piece.clone();
        }
        let with_prose =
            beside.and_then(|beside| self.setter.row_with_prose(first, columns, beside));
        let piece = with_prose.unwrap_or_else(|| self.setter.grid_row(cells, columns));
        let piece = Arc::new(piece);
        let beside = beside.map(|beside| beside.prose.value.clone());
        let own = |cell: &GridBlock<'_>| {
            (cell.block.block.clone(), cell.block.number, cell.engraved.clone())
        };
        let own = cells.iter().map(own).collect();
        self.rows
            .put(&first.block.block, SetRow { cells: own, columns, beside, piece: piece.clone() });
        piece
    }

    /// Sets a block that has a line of its own.
    fn alone(&mut self, index: usize, block: &PlacedBlock, engraved: EngravedBlock) {
        // A style of one line sets what is long smaller by design.
        if !engraved.is_as_asked() && !self.setter.context.style.one_line {
            self.warn_of_smaller(index, block, &engraved.systems);
        }
        self.warn_of_taller(index, block, &engraved.systems);
        let known = self.alone.get(&block.block);
        let known =
            known.filter(|(number, was, _)| *number == block.number && was.is_same(&engraved));
        let known = known.map(|(_, _, set)| set.clone());
        let set = known.unwrap_or_else(|| {
            let mut set = self.setter.block(block, &engraved);
            if self.score.header.blocks == (BlocksOnPages::OneAPage { centred: true }) {
                self.setter.centre(&mut set);
            }
            let set: Pieces = set.into_iter().map(Arc::new).collect();
            self.alone.put(&block.block, (block.number, engraved, set.clone()));
            set
        });
        if self.pictures {
            self.picture(block);
        }
        let id = self.setter.ids.id(index);
        let placed = set.iter().map(|piece| ColumnPiece::of_item(piece.clone(), id));
        self.body.pieces.extend(placed);
    }

    /// Tells, once for each grid, that a block has fewer columns than it asks for.
    fn tell_columns(&mut self, index: usize, block: &PlacedBlock, engraved: &EngravedBlock) {
        let asked = block.settings.columns as usize;
        if asked < 2 || engraved.columns == asked || self.told_of == Some((asked, engraved.columns))
        {
            return;
        }
        self.told_of = Some((asked, engraved.columns));
        let what = match engraved.columns {
            1 => format!("this does not fit {asked} columns and stands alone"),
            columns => format!("not all of these fit {asked} columns; {columns} are set"),
        };
        let mend = "ask for fewer columns, or use a wider page or a smaller staff-height";
        self.body.warn(index, block, what).code(codes::COLUMNS_FEWER).mend(mend);
    }

    /// Tells that a line is taller than the page.
    fn warn_of_taller(&mut self, index: usize, block: &PlacedBlock, systems: &[Arc<System>]) {
        let setter = self.setter;
        let taller = |s: &Arc<System>| setter.line_scale(s) < setter.sheet.space * s.scale;
        if systems.iter().any(taller) {
            let what = "a line of music is taller than the page; it is set smaller to fit";
            let mend = "use a taller page or a smaller staff-height";
            self.body.warn(index, block, what).code(codes::LINES_SMALLER).mend(mend);
        }
    }

    /// Tells that lines of a block were set smaller than the others, or with fewer bars.
    fn warn_of_smaller(&mut self, index: usize, block: &PlacedBlock, systems: &[Arc<System>]) {
        if systems.iter().any(|system| system.scale < 1.0) {
            let what = "a bar is wider than the page; it is set smaller to fit";
            let mend = "use a wider page or a smaller staff-height";
            self.body.warn(index, block, what).code(codes::BARS_SMALLER).mend(mend);
        }
        let asked = block.settings.bars_per_line.unwrap_or(0);
        if let Some(cut) = systems.iter().find(|system| system.cut) {
            let what = format!(
                "{asked} bars do not fit on one line; where they do not, a line has fewer, as {}",
                cut.bars
            );
            let mend = "ask for fewer with `bars:`, or use a wider page or a smaller staff-height";
            self.body.warn(index, block, what).code(codes::BARS_FEWER).mend(mend);
        }
    }

    /// A picture of a block, which shows all that it begins with, whatever it does on its page.
    fn picture(&mut self, block: &PlacedBlock) {
        let engraved = EngravedBlock::for_picture(&self.setter, block);
        let set = self.setter.block(block, &engraved);
        let picture = picture::of_block(self.setter.fonts, block, &set, self.setter.lines);
        self.body.pictures.push((picture::key(block, self.body.pictures.len()), picture));
    }
}

/// Whether a block is to end on one page with what follows it.
fn keeps_next(block: &PlacedBlock) -> bool {
    block.settings.layout.keep.with_next
}

/// The blocks from an index on that may stand side by side in columns: those that ask for as many, up to
/// where a series begins.
fn side_by_side(score: &Score, index: usize, columns: usize) -> impl Iterator<Item = &PlacedBlock> {
    let items: Vec<&Item> = score.items.range(index..index + columns + 1).collect();
    let blocks: Vec<&PlacedBlock> = items.iter().copied().map_while(Item::block).collect();
    let same = move |(nth, block): &(usize, &PlacedBlock)| {
        let begins = || begins_series(&items, *nth) || opens_page(block);
        block.settings.columns as usize == columns && (*nth == 0 || !begins())
    };
    blocks.into_iter().enumerate().take_while(same).map(|(_, block)| block).take(columns)
}
