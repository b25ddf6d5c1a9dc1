//! The number and the title over a block.

use super::engraved::EngravedBlock;
use super::piece::Piece;
use super::prose;
use super::prose::WordStyle;
use super::setter::{Setter, as_large_as_fits, row_width};
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave;
use crate::engrave::Heading;
use crate::font::{FaceStyle, Fonts};
use crate::score::{Inline, Item, PlacedBlock, Score, Span};
use kurbo::{Point, Vec2};

/// Between a number and its title, in ems (common practice, no source).
const AFTER_NUMBER: f64 = 0.7;
/// Between a title and the tempo beside it, in ems, at least (common practice, no source).
const BEFORE_HEADING: f64 = 1.5;
/// Between a title and the level after it, in ems (common practice, no source).
const BEFORE_LEVEL: f64 = 0.6;
/// How much of a page a title may take; one that takes more is set smaller (common practice, no source).
const MOST_OF_PAGE: f64 = 0.4;
/// How much of the width of a block a tempo may take beside its title (common practice, no source).
const MOST_HEADING: f64 = 0.6;

/// What of a number and a title is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TitleParts {
    /// Both.
    All,
    /// The number alone: the title stands over the whole row.
    Number,
    /// The title alone.
    Title,
}

/// A title as a piece.
pub struct TitlePiece {
    /// The piece.
    pub piece: Piece,
    /// How much what stands beside its first line is higher than its words, in points.
    pub over: f64,
}

impl Setter<'_> {
    /// The number and the title of a block, where it has one of them, in a width in points; at the
    /// right end of its music its tempo and feel, where they are to stand there. A title too long for
    /// the width goes on under its beginning.
    pub fn block_title(
        &self,
        block: &PlacedBlock,
        engraved: &EngravedBlock,
        parts: TitleParts,
        width: f64,
    ) -> Option<TitlePiece> {
        let room = self.sheet.room() * MOST_OF_PAGE;
        let of_scale = |scale: f64| {
            let size = self.sheet.block_title * scale;
            self.title_of_size(block, engraved, parts, (width, size))
        };
        as_large_as_fits(of_scale, |title| {
            title.as_ref().is_none_or(|title| title.piece.height <= room)
        })
    }

    /// How wide a title is with its tempo and feel beside it, in points; zero where it has none, and where they have not
    /// the width of the page.
    pub fn head_width(&self, block: &PlacedBlock) -> f64 {
        let Some(heading) = self.heading_in(block, self.sheet.text_width()) else { return 0.0 };
        let size = self.sheet.block_title;
        let number = block.printed_number();
        let number = number.map_or(0.0, |number| self.number(&number, size).1.1);
        let title = block.title.as_ref();
        let title =
            title.map_or(0.0, |title| self.fonts.text.shape(title, FaceStyle::Semibold).width);
        let level = self.level(block, TitleParts::All, size);
        let level = level.map_or(0.0, |level| level.width + BEFORE_LEVEL * size);
        let width = number + title * size + level + BEFORE_HEADING * size + heading.width;
        if width > self.sheet.text_width() { 0.0 } else { width }
    }

    fn title_of_size(
        &self,
        block: &PlacedBlock,
        engraved: &EngravedBlock,
        parts: TitleParts,
        (width, size): (f64, f64),
    ) -> Option<TitlePiece> {
        let place = Some(block.span);
        let beside = engraved.shown.beside_title && parts != TitleParts::Number;
        let heading = beside.then(|| self.heading_in(block, width)).flatten();
        let taken = heading.as_ref().map_or(0.0, |heading| heading.width + BEFORE_HEADING * size);
        // Where too little is left for a title, the tempo goes under it.
        let taken = if taken > width * MOST_HEADING { 0.0 } else { taken };
        let level = self.level(block, parts, size);
        let starred = level.as_ref().map_or(0.0, |level| level.width + BEFORE_LEVEL * size);
        let mut first = Vec::new();
        let (mut x, mut end) = (0.0, 0.0);
        if let Some(number) = block.printed_number().filter(|_| parts != TitleParts::Title) {
            let (mark, width) = self.number(&number, size);
            (end, x) = width;
            first.push(mark.at_place(place));
        }
        let mut lines = Vec::new();
        if let Some(title) = block.title.as_ref().filter(|_| parts != TitleParts::Number) {
            let style = WordStyle { kind: Kind::Title, face: FaceStyle::Semibold, size };
            let text = [Inline::Text(title.clone())];
            for marks in
                prose::lines(self.fonts, &text, style, (width - x - taken - starred).max(size))
            {
                end = x + row_width(&marks);
                first.extend(marks.into_iter().map(|mark| {
                    let shape = mark.shape.scaled_and_moved(1.0, x, 0.0);
                    Mark { shape, ..mark }.at_place(place)
                }));
                lines.push(std::mem::take(&mut first));
            }
        }
        if !first.is_empty() {
            lines.push(first);
        }
        if let Some(level) = level {
            let left = if lines.is_empty() { 0.0 } else { end + BEFORE_LEVEL * size };
            end = left + level.width;
            add_moved(&mut lines, level.marks, (left, place), true);
        }
        if let Some(heading) = heading {
            let music = engraved.systems.iter().map(|s| s.width * s.scale).fold(0.0, f64::max);
            let beside = if taken > 0.0 { end + taken } else { 0.0 };
            let right = (music * self.sheet.space).max(beside).max(heading.width).min(width);
            let left = right - heading.width;
            add_moved(&mut lines, heading.marks, (left, place), taken > 0.0);
        }
        let mut lines = lines.into_iter().map(|marks| self.title_row(marks, size));
        let TitlePiece { mut piece, over } = lines.next()?;
        for TitlePiece { piece: line, .. } in lines {
            piece.add(&line, Vec2::new(0.0, piece.height));
            piece.height += line.height;
        }
        Some(TitlePiece { piece, over })
    }

    /// Shapes the words over a block, which are remembered until they are set: the pieces of a page are put together on
    /// one processor, blocks engraved on all.
    pub fn shape_title(&self, block: &PlacedBlock) {
        if let Some(number) = block.printed_number() {
            self.fonts.text.shape(&number, FaceStyle::Regular);
        }
        if let Some(title) = &block.title {
            self.fonts.text.shape(title, FaceStyle::Semibold);
        }
    }

    /// A number of a size; its right end, and where a title after it begins.
    fn number(&self, number: &str, size: f64) -> (Mark, (f64, f64)) {
        let run = self.fonts.text.shape(number, FaceStyle::Regular);
        let ends = (run.width * size, self.number_width.max(run.width + AFTER_NUMBER) * size);
        (Mark::new(Kind::Number, Shape::Text { run, at: Point::ZERO, size }), ends)
    }

    /// The tempo and the feel of a block in points, no wider than a width.
    fn heading_in(&self, block: &PlacedBlock, width: f64) -> Option<Heading> {
        let mut heading = engrave::heading(&self.context, block)?;
        let scale = self.sheet.space.min(width / heading.width);
        let scaled =
            |mark: Mark| Mark { shape: mark.shape.scaled_and_moved(scale, 0.0, 0.0), ..mark };
        heading.marks = heading.marks.into_iter().map(scaled).collect();
        heading.width *= scale;
        Some(heading)
    }

    /// A row of a title. What stands higher than its words, as the notes of a feel, makes it taller.
    fn title_row(&self, marks: Vec<Mark>, size: f64) -> TitlePiece {
        let tops = marks.iter().map(|mark| mark.shape.bounds(self.fonts).y0);
        let over = (-tops.fold(0.0, f64::min) - self.ascent(size)).max(0.0);
        let row = self.row(marks, 0.0, size, 0.0);
        let mut piece = Piece { height: over, nodes: [].into(), ..row.clone() };
        piece.add(&row, Vec2::new(0.0, over));
        piece.height += row.height;
        TitlePiece { piece, over }
    }
}

/// Adds marks to the last of some lines, moved to the right, or in a line of their own.
fn add_moved(
    lines: &mut Vec<Vec<Mark>>,
    marks: Vec<Mark>,
    (left, place): (f64, Option<Span>),
    to_last: bool,
) {
    let moved = marks.into_iter().map(|mark| {
        let shape = mark.shape.scaled_and_moved(1.0, left, 0.0);
        Mark { shape, ..mark }.at_place(place)
    });
    match lines.last_mut() {
        Some(last) if to_last => last.extend(moved),
        Some(_) | None => lines.push(moved.collect()),
    }
}

/// The width of the column of a file's printed numbers, in ems, so that the titles after them stand
/// under each other.
pub fn number_width(fonts: &Fonts, score: &Score) -> f64 {
    let figures = |number: u32| number.checked_ilog10().map_or(1, |log| log as usize + 1);
    let items = score.items.made();
    let numbers = items.filter_map(Item::block).filter_map(|block| block.number);
    let sizes = numbers.map(|n| (n.chapter.map_or(0, figures), figures(n.number)));
    let widest = sizes.max_by_key(|(chapter, number)| chapter + number);
    widest.map_or(0.0, |(chapter, number)| {
        let figures = "0".repeat(chapter + number) + if chapter > 0 { "." } else { "" };
        fonts.text.shape(&figures, FaceStyle::Regular).width + AFTER_NUMBER
    })
}
