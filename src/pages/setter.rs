//! Rows of words as pieces: what everything on a page but music is set with.

use super::item_ids::ItemIds;
use super::pictures::Pictures;
use super::piece::Piece;
use super::reference::Answers;
use super::sheet::Sheet;
use crate::drawing::{LineWriter, Mark, Node, Shape};
use crate::engrave::Engraver;
use crate::font::{FaceStyle, Fonts};
use crate::score::language_of;
use crate::source::LineTable;
use hypher::Lang;
use std::sync::Arc;

/// What a line of words has over its capitals and under its baseline, in ems (common practice, no
/// source).
const OVER_CAPITALS: f64 = 0.1;
const UNDER_BASELINE: f64 = 0.25;

/// How much smaller words are tried that do not fit, and down to which share of their size (common
/// practice, no source).
const SMALLER: f64 = 0.85;
const SMALLEST: f64 = 0.1;

/// What the body is set with.
#[derive(Clone, Copy)]
pub struct Setter<'a> {
    /// The faces.
    pub fonts: &'a Fonts,
    /// The page's measures.
    pub sheet: &'a Sheet,
    /// The engraver's hand.
    pub context: Engraver<'a>,
    /// The ids of the items.
    pub ids: &'a ItemIds,
    /// What references print.
    pub answers: &'a Arc<Answers>,
    /// The pictures of its prose.
    pub pictures: &'a Pictures,
    /// The language by which prose is hyphenated; nothing where its patterns are not known.
    pub hyphens: Option<Lang>,
    /// How wide the column of printed numbers is, in ems.
    pub number_width: f64,
    /// Where the lines of the source start.
    pub lines: &'a Arc<LineTable>,
    /// Who writes lines of music as soon as they are set; nobody where their marks are to stay.
    pub writer: Option<&'a dyn LineWriter>,
}

impl Setter<'_> {
    /// From the top of a row to its baseline.
    pub fn ascent(&self, size: f64) -> f64 {
        self.fonts.text.cap_height(FaceStyle::Regular) * size + size * OVER_CAPITALS
    }

    /// The height of a row.
    fn line_height(&self, size: f64) -> f64 {
        self.ascent(size) + size * UNDER_BASELINE
    }

    /// Lines of words under each other; the first has room over it.
    pub fn rows(&self, lines: Vec<Vec<Mark>>, x: f64, size: f64, before: f64) -> Vec<Piece> {
        let extra = size * self.sheet.leading - self.line_height(size);
        let count = lines.len();
        lines
            .into_iter()
            .enumerate()
            .map(|(index, marks)| {
                let before = if index == 0 { before } else { extra.max(0.0) };
                let mut piece = self.row(marks, x, size, before);
                // The first two lines and the last two stay together.
                piece.keep_with_next = (index == 0 && count > 1) || index + 2 == count;
                piece.elastic = index == 0;
                piece.begins = index == 0;
                piece
            })
            .collect()
    }

    /// Marks with their baseline at y zero as a piece.
    pub fn row(&self, marks: Vec<Mark>, x: f64, size: f64, before: f64) -> Piece {
        let y = self.ascent(size);
        let nodes = marks
            .into_iter()
            .map(|mark| Node::Mark(Mark { shape: mark.shape.scaled_and_moved(1.0, x, y), ..mark }))
            .collect();
        Piece {
            nodes,
            height: self.line_height(size),
            before,
            elastic: true,
            begins: true,
            ..Piece::default()
        }
    }
}

/// The language of a tag, or English, where words of it can be hyphenated.
pub fn hyphens(tag: Option<&str>) -> Option<Lang> {
    let language = language_of(tag);
    // Both written forms of Norwegian have the patterns of one.
    let language = if matches!(language.as_str(), "nb" | "nn") { "no" } else { &language };
    Lang::from_iso(language.as_bytes().try_into().ok()?)
}

/// Sets something at its size and, as long as it does not fit, a step smaller, down to a tenth.
pub fn as_large_as_fits<T>(set: impl Fn(f64) -> T, fits: impl Fn(&T) -> bool) -> T {
    let mut scale = 1.0;
    loop {
        let made = set(scale);
        scale *= SMALLER;
        if fits(&made) || scale < SMALLEST {
            return made;
        }
    }
}

/// The right end of a row of marks.
pub fn row_width(marks: &[Mark]) -> f64 {
    marks
        .iter()
        .map(|mark| match &mark.shape {
            Shape::Text { run, at, size } => at.x + run.width * size,
            Shape::Box(_) | Shape::Path(_) | Shape::Picture { .. } | Shape::Glyph { .. } => 0.0,
        })
        .fold(0.0, f64::max)
}
