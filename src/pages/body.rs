//! The body, set item by item: words, blocks alone, and blocks side by side.

use super::ahead::Ahead;
use super::block;
use super::bond;
use super::codes;
use super::column::ColumnPiece;
use super::engraved::EngravedBlock;
use super::grid::GridBlock;
use super::opens;
use super::pages_memo::{PagesMemo, Pieces, SetRow};
use super::picture;
use super::piece::Piece;
use super::setter::Setter;
use crate::drawing::Page;
use crate::engrave::System;
use crate::parallel::Stop;
use crate::score::settings::Contents;
use crate::score::{Item, PlacedBlock, Score};
use crate::source::Diagnostics;
use std::borrow::Borrow;
use std::ops::Range;
use std::sync::Arc;

/// What is made of a score.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// Pages alone.
    Pages,
    /// Pages, and a picture of each block.
    PagesAndPictures,
}

/// The body of a file, set.
#[derive(Default)]
pub struct Body {
    /// Its pieces in order.
    pub pieces: Vec<ColumnPiece>,
    /// The items whose words refer to blocks, by index, and the pieces each became.
    pub referring: Vec<(usize, Range<usize>)>,
    /// A picture of each block under its key, where they are wanted.
    pub pictures: Vec<(String, Page)>,
}

/// Sets all items of a score; `referring` are the indices of those whose words refer to blocks, in
/// order.
pub fn set(
    setter: Setter<'_>,
    score: &Score,
    referring: &[usize],
    memo: &mut PagesMemo,
    stop: Stop<'_>,
    (wanted, diagnostics): (Wanted, &mut Diagnostics),
) -> Option<Body> {
    let ahead = Ahead::default();
    let pieces = Vec::with_capacity(score.items.len() * 3);
    let body = Body { pieces, ..Body::default() };
    let mut growing =
        Growing { setter, score, memo, diagnostics, wanted, ahead, body, told_of: None };
    let mut index = 0;
    while let Some(item) = score.items.get(index) {
        if stop() {
            return None;
        }
        let first = growing.body.pieces.len();
        let items = match item {
            Item::Block(block) => growing.row(index, block.settings.columns as usize),
            Item::Heading { .. } | Item::Prose(_) => {
                growing.told_of = None;
                growing.words(index, item, referring.binary_search(&index).is_ok());
                1
            }
        };
        if let Some(first) = growing.body.pieces.get_mut(first) {
            first.bond = bond::between(&score.items, index);
        }
        index += items;
    }
    Some(growing.body)
}

/// The body as it grows.
struct Growing<'a, 'd> {
    setter: Setter<'a>,
    score: &'a Score,
    memo: &'d mut PagesMemo,
    diagnostics: &'d mut Diagnostics,
    wanted: Wanted,
    ahead: Ahead,
    body: Body,
    /// What was told of the grid that goes on: the columns asked for, and those that are set.
    told_of: Option<(usize, usize)>,
}

impl<'a> Growing<'a, '_> {
    /// Sets an item that is no music.
    fn words(&mut self, index: usize, item: &Item, refers: bool) {
        let header = &self.score.header;
        let mut set = self.ahead.words(&self.setter, self.score, index, self.memo);
        let first = self.body.pieces.len();
        if let (Some(piece), Item::Heading { level: 0 | 1, .. }) = (set.first_mut(), item)
            && (first > 0 || header.contents != Contents::None)
        {
            piece.opens = opens::of_chapter(header);
        }
        self.body.pieces.extend(set);
        if refers {
            self.body.referring.push((index, first..self.body.pieces.len()));
        }
    }

    /// Sets as many of the blocks from an index on as stand side by side in columns; how many these
    /// are.
    fn row(&mut self, index: usize, asked: usize) -> usize {
        let setter = self.setter;
        let mut columns = asked;
        let mut cells: Vec<GridBlock<'a>> = Vec::new();
        for (nth, block) in side_by_side(self.score, index, asked).enumerate() {
            let at = (index + nth, block);
            let engraved = self.ahead.block(&setter, self.score, at, self.memo);
            if nth == 0 {
                columns = engraved.columns;
                self.tell_columns(block, &engraved);
            }
            if engraved.columns == 1 || nth == columns {
                // What is too wide for a column stands on a line of its own.
                if nth == 0 {
                    self.alone(index, block, engraved);
                    return 1;
                }
                break;
            }
            cells.push(GridBlock { block, systems: engraved.systems });
        }
        if self.wanted == Wanted::PagesAndPictures {
            for cell in &cells {
                let set = setter.block(cell.block, &cell.systems);
                self.picture(cell.block, &set);
            }
        }
        let count = cells.len().max(1);
        let piece = self.side_by_side(&cells, columns);
        self.body.pieces.push(ColumnPiece::new(piece, index));
        count
    }

    /// Blocks side by side as a piece.
    fn side_by_side(&mut self, cells: &[GridBlock<'a>], columns: usize) -> Arc<Piece> {
        let Some(first) = cells.first() else { return Arc::default() };
        let same = |row: &&SetRow| {
            let number = |cell: &GridBlock<'_>| (Arc::as_ptr(&cell.block.block), cell.block.number);
            let known = row.cells.iter().map(|(block, number)| (Arc::as_ptr(block), *number));
            row.columns == columns && known.eq(cells.iter().map(number))
        };
        if let Some(row) = self.memo.rows.get(&first.block.block).filter(same) {
            return row.piece.clone();
        }
        let piece = Arc::new(self.setter.grid_row(cells, columns));
        let own = cells.iter().map(|cell| (cell.block.block.clone(), cell.block.number)).collect();
        self.memo
            .rows
            .put(&first.block.block, SetRow { cells: own, columns, piece: piece.clone() });
        piece
    }

    /// Sets a block that has a line of its own.
    fn alone(&mut self, index: usize, block: &PlacedBlock, engraved: EngravedBlock) {
        // A style of one line sets what is long smaller by design.
        if !engraved.is_as_asked() && !self.setter.context.style.one_line {
            self.warn_of_smaller(block, &engraved.systems);
        }
        let known = self.memo.alone.get(&block.block);
        let known = known.filter(|(number, _)| *number == block.number).map(|(_, set)| set.clone());
        let set = known.unwrap_or_else(|| {
            let set = self.setter.block(block, &engraved.systems).into_iter();
            let set: Pieces = set.map(Arc::new).collect();
            self.memo.alone.put(&block.block, (block.number, set.clone()));
            set
        });
        if self.wanted == Wanted::PagesAndPictures {
            self.picture(block, &set);
        }
        self.body.pieces.extend(set.iter().map(|piece| ColumnPiece::new(piece.clone(), index)));
    }

    /// Tells, once for each grid, that a block has fewer columns than it asks for.
    fn tell_columns(&mut self, block: &PlacedBlock, engraved: &EngravedBlock) {
        let asked = block.settings.columns as usize;
        if asked < 2 || engraved.columns == asked || self.told_of == Some((asked, engraved.columns))
        {
            return;
        }
        self.told_of = Some((asked, engraved.columns));
        let what = match engraved.columns {
            1 => format!("this is too wide for {asked} columns and stands alone"),
            columns => format!("not all of these fit {asked} columns; {columns} are set"),
        };
        let mend = "ask for fewer columns, or use a wider page or a smaller staff-height";
        let span = block.span.moved(block.at);
        self.diagnostics.warning(span, what).code(codes::COLUMNS_FEWER).mend(mend);
    }

    /// Tells that lines of a block were set smaller than the others, or with fewer bars.
    fn warn_of_smaller(&mut self, block: &PlacedBlock, systems: &[Arc<System>]) {
        let span = block.span.moved(block.at);
        if systems.iter().any(|system| system.scale < 1.0) {
            let what = "a bar is wider than the page; it is set smaller to fit";
            let mend = "use a wider page or a smaller staff-height";
            self.diagnostics.warning(span, what.to_owned()).code(codes::BARS_SMALLER).mend(mend);
        }
        let asked = block.settings.bars_per_line.unwrap_or(0);
        if let Some(cut) = systems.iter().find(|system| system.cut) {
            let what = format!(
                "{asked} bars do not fit on one line; where they do not, a line has fewer, as {}",
                cut.bars
            );
            let mend = "ask for fewer with `bars:`, or use a wider page or a smaller staff-height";
            self.diagnostics.warning(span, what).code(codes::BARS_FEWER).mend(mend);
        }
    }

    fn picture<P: Borrow<Piece>>(&mut self, block: &PlacedBlock, set: &[P]) {
        let picture = picture::of_block(self.setter.fonts, block, set, self.setter.lines);
        self.body.pictures.push((picture::key(block, self.body.pictures.len()), picture));
    }
}

/// The blocks from an index on that may stand side by side in columns: those that ask for as many.
fn side_by_side(score: &Score, index: usize, columns: usize) -> impl Iterator<Item = &PlacedBlock> {
    let items = score.items.get(index..).unwrap_or(&[]);
    let blocks = items.iter().map_while(block::of_item);
    blocks.take_while(move |block| block.settings.columns as usize == columns).take(columns)
}
