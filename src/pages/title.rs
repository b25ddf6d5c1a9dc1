//! The number and the title over a block.

use super::engraved::EngravedBlock;
use super::item::of_item;
use super::piece::Piece;
use super::setter::Setter;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave;
use crate::font::{FaceStyle, Fonts};
use crate::score::{PlacedBlock, Score};
use kurbo::{Point, Vec2};

/// Between a number and its title, in ems (common practice, no source).
const AFTER_NUMBER: f64 = 0.7;
/// Between a title and the tempo beside it, in ems, at least (common practice, no source).
const BEFORE_HEADING: f64 = 1.5;

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
        let place = Some(block.span);
        let size = self.sheet.block_title;
        let beside = engraved.shown.beside_title && parts != TitleParts::Number;
        let heading = beside.then(|| engrave::heading(&self.context, block));
        let heading = heading.flatten().map(|heading| (heading.width * self.sheet.space, heading));
        let taken = heading.as_ref().map_or(0.0, |(wide, _)| wide + BEFORE_HEADING * size);
        let mut first = Vec::new();
        let (mut x, mut end) = (0.0, 0.0);
        if let Some(number) = block.printed_number().filter(|_| parts != TitleParts::Title) {
            let run = self.fonts.text.shape(&number, FaceStyle::Regular);
            end = run.width * size;
            x = self.number_width.max(run.width + AFTER_NUMBER) * size;
            let text = Shape::Text { run, at: Point::ZERO, size };
            first.push(Mark::new(Kind::Number, text).at_place(place));
        }
        let mut lines = Vec::new();
        if let Some(title) = block.title.as_ref().filter(|_| parts != TitleParts::Number) {
            for words in self.title_lines(title, (width - x - taken) / size) {
                let run = self.fonts.text.shape(&words, FaceStyle::Semibold);
                end = x + run.width * size;
                let text = Shape::Text { run, at: Point::new(x, 0.0), size };
                first.push(Mark::new(Kind::Title, text).at_place(place));
                lines.push(std::mem::take(&mut first));
            }
        }
        if !first.is_empty() {
            lines.push(first);
        }
        if let (Some((wide, heading)), Some(last)) = (heading, lines.last_mut()) {
            let music = engraved.systems.iter().map(|s| s.width * s.scale).fold(0.0, f64::max);
            let right = (music * self.sheet.space).max(end + taken).min(width);
            let at = |mark: Mark| {
                let shape = mark.shape.scaled_and_moved(self.sheet.space, right - wide, 0.0);
                Mark { shape, ..mark }.at_place(Some(heading.place))
            };
            last.extend(heading.marks.into_iter().map(at));
        }
        let mut lines = lines.into_iter().map(|marks| self.title_row(marks, size));
        let TitlePiece { mut piece, over } = lines.next()?;
        for TitlePiece { piece: line, .. } in lines {
            piece.add(&line, Vec2::new(0.0, piece.height));
            piece.height += line.height;
        }
        Some(TitlePiece { piece, over })
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

    /// A title in lines of a width in ems, each as full as it can be; a word that is wider has a
    /// line of its own.
    fn title_lines(&self, title: &str, width: f64) -> Vec<String> {
        let measure = |words: &str| self.fonts.text.shape(words, FaceStyle::Semibold).width;
        if measure(title) <= width {
            return vec![title.to_owned()];
        }
        let space = measure(" ");
        let mut lines: Vec<String> = Vec::new();
        let mut filled = 0.0;
        for word in title.split_whitespace() {
            let wide = measure(word);
            match lines.last_mut() {
                Some(line) if filled + space + wide <= width => {
                    line.push(' ');
                    line.push_str(word);
                    filled += space + wide;
                }
                _ => {
                    lines.push(word.to_owned());
                    filled = wide;
                }
            }
        }
        lines
    }
}

/// The width of the column of a file's printed numbers, in ems, so that the titles after them stand
/// under each other.
pub fn number_width(fonts: &Fonts, score: &Score) -> f64 {
    let figures = |number: u32| number.checked_ilog10().map_or(1, |log| log as usize + 1);
    let numbers = score.items.iter().filter_map(of_item).filter_map(|block| block.number);
    let sizes = numbers.map(|n| (n.chapter.map_or(0, figures), figures(n.number)));
    let widest = sizes.max_by_key(|(chapter, number)| chapter + number);
    widest.map_or(0.0, |(chapter, number)| {
        let figures = "0".repeat(chapter + number) + if chapter > 0 { "." } else { "" };
        fonts.text.shape(&figures, FaceStyle::Regular).width + AFTER_NUMBER
    })
}
