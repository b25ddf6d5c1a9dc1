//! One line of music: bars at their places, then what stands over and under them.

use super::canvas::Canvas;
use super::page_turn::{PageTurn, asks_for_page, page_turn};
use super::placed_bar::{PlacedBar, place_bars};
use super::tuplets::PlacedTuplet;
use super::{bar_signs, barlines, notes, opening, over, ties, tuplets, under};
use crate::drawing::{GroupKind, Kind, Mark, Node, Shape};
use crate::engrave::engraver::Engraver;
use crate::engrave::notate::shown::Shown;
use crate::engrave::place::{BlockPlace, Edges};
use crate::engrave::space::bar::SpacedBar;
use crate::engrave::space::lines::SetLine;
use crate::engrave::staff::{outer_line, staff_edges, y_of};
use crate::score::Block;
use crate::score::settings::Staff;
use kurbo::Rect;
use std::sync::Arc;

/// A line of music in staff spaces: y is zero on the middle line of the staff, x at its left end. Its
/// places are counted from the start of its block: lines of equal blocks are equal.
#[derive(Clone, Debug, PartialEq)]
pub struct System {
    /// Its marks in one group, and what stands with it.
    pub nodes: Arc<[Node]>,
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
}

/// Draws a line of a block, which holds the `bars`.
pub fn draw(
    engraver: &Engraver<'_>,
    block: &Block,
    place: BlockPlace,
    line: &SetLine,
    bars: Vec<SpacedBar>,
) -> System {
    let staff = block.part.settings.staff;
    let edges = place.edges;
    let mut bars = place_bars(engraver, &block.part, edges, line, bars);
    let end = bars.last().map_or(0.0, |bar| bar.right);
    let width = end + line.warning;
    let mut canvas = Canvas::new(engraver);
    canvas.open(GroupKind::System, bars.first().map(|bar| bar.bar.span));
    draw_staff(&mut canvas, staff, width);
    opening::clef(&mut canvas, edges.clef_of(staff));
    let mut tuplets = Vec::new();
    for bar in &mut bars {
        draw_bar(&mut canvas, block, edges, bar, &mut tuplets);
    }
    if line.warning > 0.0
        && let Some(next) = block.part.bars.get(line.to)
    {
        opening::time(&mut canvas, &next.meter, staff, end + engraver.style.after_clef);
    }
    ties::draw(&mut canvas, &block.part, &bars);
    tuplets::draw(&mut canvas, tuplets, staff_edges(staff));
    over::marks::draw(&mut canvas, block, place, &bars);
    under::dynamics::draw(&mut canvas, &block.part, &bars);
    under::rows::draw(&mut canvas, &block.part, &bars);
    let (nodes, ink) = canvas.finish();
    let (scale, cut) = (line.scale, line.cut);
    let new_page = asks_for_page(&block.part, line.from);
    let turn = page_turn(&block.part, line.from);
    System { nodes: nodes.into(), ink, width, scale, bars: bars.len(), cut, new_page, turn }
}

fn draw_bar(
    canvas: &mut Canvas<'_>,
    block: &Block,
    edges: Edges,
    bar: &mut PlacedBar<'_>,
    tuplets: &mut Vec<PlacedTuplet>,
) {
    let staff = block.part.settings.staff;
    let place = Some(bar.bar.span);
    canvas.open(GroupKind::Bar { number: bar.index + 1 }, place);
    opening::draw(canvas, bar, staff);
    match bar.spaced.shown {
        Shown::Notes => notes::draw(canvas, &block.part, bar, tuplets),
        Shown::Again(again) => bar_signs::again(canvas, bar, again, staff),
        Shown::Rest { bars, part } => bar_signs::rest(canvas, bar, (bars, part), staff),
    }
    if bar.spaced.shown.has_barline() {
        barlines::closing(canvas, &block.part, edges.end, bar);
    }
    canvas.close();
}

fn draw_staff(canvas: &mut Canvas<'_>, staff: Staff, width: f64) {
    let engraver = canvas.engraver;
    let thickness = engraver.fonts.music.defaults().staff_line_thickness;
    let outer = outer_line(staff);
    let lines = match staff {
        Staff::NoLine => 0,
        Staff::OneLine => 1,
        Staff::FiveLines => 5,
    };
    for line in 0..lines {
        let y = y_of(outer - 2 * line);
        let rect = Rect::new(0.0, y - thickness / 2.0, width, y + thickness / 2.0);
        canvas.push(Mark::new(Kind::StaffLine, Shape::Box(rect)));
    }
}
