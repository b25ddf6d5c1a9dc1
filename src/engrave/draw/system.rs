//! One line of music, of one player or of several.

use super::carried::Carried;
use super::line::{DrawnLine, LineDrawing};
use super::page_turn::{PageTurn, asks_for_page, page_turn};
use super::players;
use crate::drawing::{GroupKind, InsetMarks};
use crate::engrave::engraver::Engraver;
use crate::engrave::place::BlockPlace;
use crate::engrave::space::bar::SpacedBar;
use crate::engrave::space::lines::SetLine;
use crate::score::{Block, exercises};
use kurbo::Rect;
use std::sync::Arc;

/// A line of music in staff spaces: y is zero on the middle line of the staff, x at its left end. Its
/// places are counted from the start of its block: lines of equal blocks are equal.
#[derive(Clone, Debug, PartialEq)]
pub struct System {
    /// Its marks in one group, and what stands with it.
    pub marks: InsetMarks,
    /// The box of its ink.
    pub ink: Rect,
    /// Length of its staff.
    pub width: f64,
    /// Factor it is to be scaled by, 1 but for bars wider than the line.
    pub scale: f64,
    /// How many bars it has.
    pub bars: usize,
    /// These are fewer than the text asks for, since so many do not fit.
    pub cut: bool,
    /// The text asks for a page that begins with it.
    pub new_page: bool,
    /// How well a page is turned before it.
    pub turn: PageTurn,
    /// The exercises of a series that begin in it, by their numbers over the staff.
    pub exercises: Arc<[u32]>,
}

/// Draws a line of a block, which holds the `bars`, with what comes to it from the lines before.
pub fn draw(
    engraver: &Engraver<'_>,
    block: &Block,
    place: BlockPlace,
    (line, carried): (&SetLine, &[Carried<'_>]),
    bars: Vec<SpacedBar>,
) -> System {
    let count = bars.len();
    let drawing = LineDrawing { engraver, block, place, line, carried };
    let drawn = match block.others.is_empty() {
        true => {
            let (canvas, width) = drawing.staff((0, &block.part), GroupKind::System, bars);
            let (nodes, ink) = canvas.finish();
            DrawnLine { nodes, ink, width }
        }
        false => players::draw(&drawing, bars),
    };
    let DrawnLine { nodes, ink, width } = drawn;
    System {
        marks: nodes.into(),
        ink,
        width,
        scale: line.scale,
        bars: count,
        cut: line.cut,
        new_page: asks_for_page(&block.part, line.from),
        turn: page_turn(block, line.from),
        exercises: exercises(block.part.bars.get(line.from..line.from + count).unwrap_or(&[]))
            .into(),
    }
}
