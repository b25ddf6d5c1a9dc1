//! The number and the title over a block.

use super::piece::Piece;
use super::setter::Setter;
use crate::drawing::{Kind, Mark, Shape};
use crate::font::FaceStyle;
use crate::score::PlacedBlock;
use kurbo::{Point, Vec2};

/// Between a number and its title, in ems (common practice, no source).
const AFTER_NUMBER: f64 = 0.6;

impl Setter<'_> {
    /// The number and the title of a block, where it has one of them. A title too long for a width
    /// in points goes on under its beginning.
    pub fn block_title(&self, block: &PlacedBlock, width: f64) -> Option<Piece> {
        let place = Some(block.span);
        let size = self.sheet.block_title;
        let mut first = Vec::new();
        let mut x = 0.0;
        if let Some(number) = block.printed_number() {
            let run = self.fonts.text.shape(&number, FaceStyle::Bold);
            x = (run.width + AFTER_NUMBER) * size;
            let text = Shape::Text { run, at: Point::ZERO, size };
            first.push(Mark::new(Kind::Number, text).at_place(place));
        }
        let mut lines = Vec::new();
        if let Some(title) = &block.title {
            for words in self.title_lines(title, (width - x) / size) {
                let run = self.fonts.text.shape(&words, FaceStyle::Bold);
                let text = Shape::Text { run, at: Point::new(x, 0.0), size };
                first.push(Mark::new(Kind::Title, text).at_place(place));
                lines.push(std::mem::take(&mut first));
            }
        }
        if !first.is_empty() {
            lines.push(first);
        }
        let mut lines = lines.into_iter().map(|marks| self.row(marks, 0.0, size, 0.0));
        let mut piece = lines.next()?;
        for line in lines {
            piece.add(&line, Vec2::new(0.0, piece.height));
            piece.height += line.height;
        }
        Some(piece)
    }

    /// A title in lines of a width in ems, each as full as it can be; a word that is wider has a
    /// line of its own.
    fn title_lines(&self, title: &str, width: f64) -> Vec<String> {
        let measure = |words: &str| self.fonts.text.shape(words, FaceStyle::Bold).width;
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
