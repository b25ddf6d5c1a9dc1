//! The staff of one player over a line: bars at their places, then what stands over and under them.

use super::canvas::Canvas;
use super::carried::Carried;
use super::placed_bar::{PlacedBar, place_bars};
use super::tuplets::PlacedTuplet;
use super::{bar_signs, barlines, names, notes, opening, over, small_notes, ties, tuplets, under};
use crate::drawing::{GroupKind, Kind, Mark, Node, Shape};
use crate::engrave::engraver::Engraver;
use crate::engrave::notate::shown::Shown;
use crate::engrave::place::{BlockPlace, Edges};
use crate::engrave::space::bar::SpacedBar;
use crate::engrave::space::lines::SetLine;
use crate::engrave::staff::{outer_line, staff_edges, y_of};
use crate::score::settings::Staff;
use crate::score::{Block, PlayerPart};
use kurbo::Rect;

/// The marks of a line.
pub struct DrawnLine {
    /// Its marks in one group.
    pub nodes: Vec<Node>,
    /// The box of its ink.
    pub ink: Rect,
    /// From the left end to the right end of its staff.
    pub width: f64,
}

/// A line of a block that is being drawn.
#[derive(Clone, Copy)]
pub struct LineDrawing<'a> {
    /// The engraver.
    pub engraver: &'a Engraver<'a>,
    /// The block.
    pub block: &'a Block,
    /// The place it is engraved for.
    pub place: BlockPlace,
    /// The line.
    pub line: &'a SetLine,
    /// What comes to it from the lines before, of each player.
    pub carried: &'a [Carried<'a>],
}

impl<'a> LineDrawing<'a> {
    /// The staff of a player, counted from zero, with all that stands at it, in a group, and the length of its staff.
    pub fn staff(
        &self,
        (nth, part): (usize, &PlayerPart),
        group: GroupKind,
        bars: Vec<SpacedBar>,
    ) -> (Canvas<'a>, f64) {
        let &Self { engraver, block, place, line, carried } = self;
        let carried = carried.get(nth).copied().unwrap_or_default();
        let (staff, edges) = (part.settings.staff, place.edges);
        let leads = nth == 0;
        let mut bars = place_bars(engraver, part, edges.clef_of_all(block), line, bars);
        let end = bars.last().map_or(0.0, |bar| bar.right);
        let width = end + line.warning;
        let mut canvas = Canvas::new(engraver);
        canvas.open(group, bars.first().map(|bar| bar.bar.span));
        draw_staff(&mut canvas, staff, width);
        opening::clef(&mut canvas, edges.clef_of(staff));
        let mut tuplets = Vec::new();
        for bar in &mut bars {
            draw_bar(&mut canvas, part, edges, bar, &mut tuplets);
        }
        if line.warning > 0.0
            && let Some(next) = part.bars.get(line.to)
        {
            opening::time(&mut canvas, &next.meter, staff, end + engraver.style.after_clef);
        }
        ties::draw(&mut canvas, part, &bars);
        tuplets::draw(&mut canvas, tuplets, staff_edges(staff));
        small_notes::draw(&mut canvas, part, &bars);
        if leads && !block.others.is_empty() {
            canvas.skyline.add(names::hook(barlines::extent(staff).0));
        }
        match leads {
            true => over::marks::draw(&mut canvas, block, place, carried, &bars),
            false => over::marks::draw_own(&mut canvas, part, place, &bars),
        }
        under::dynamics::draw(&mut canvas, part, carried, &bars);
        under::rows::draw(&mut canvas, part, &bars);
        (canvas, width)
    }
}

fn draw_bar(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    edges: Edges,
    bar: &mut PlacedBar<'_>,
    tuplets: &mut Vec<PlacedTuplet>,
) {
    let staff = part.settings.staff;
    let place = Some(bar.bar.span);
    canvas.open(GroupKind::Bar { number: bar.index + 1 }, place);
    opening::draw(canvas, bar, staff);
    match bar.spaced.shown {
        // A staff to write on.
        Shown::Notes if part.settings.blank.hides_notes_of(bar.index) => {}
        Shown::Notes => notes::draw(canvas, part, bar, tuplets),
        Shown::Again(again) => bar_signs::again(canvas, bar, again, staff),
        Shown::Rest { bars, part: nth } => bar_signs::rest(canvas, bar, (bars, nth), staff),
    }
    if bar.spaced.shown.has_barline() {
        barlines::closing(canvas, part, edges.end, bar);
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
