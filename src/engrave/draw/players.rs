//! A line of several players: their staves under one another, joined by a bracket and by the barlines, each
//! with its player's name (Gould, *Behind Bars*, "Full score: percussion", from memory).

use super::canvas::Canvas;
use super::line::{DrawnLine, LineDrawing};
use super::names;
use super::skyline::Skyline;
use crate::drawing::{GroupKind, Kind, Mark, Node, Shape};
use crate::engrave::space::bar::SpacedBar;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::{Bar, PlayerPart};
use kurbo::Rect;

/// Between the ink of one player and that of the next (no source).
const BETWEEN_INK: f64 = 1.4;
/// The least room between two staves, from line to line (no source).
const BETWEEN_STAVES: f64 = 5.0;
/// Draws a line of several players.
pub fn draw(drawing: &LineDrawing<'_>, bars: Vec<SpacedBar>) -> DrawnLine {
    let LineDrawing { engraver, block, line, .. } = *drawing;
    let room = bars.first().map_or(0.0, |bar| bar.line_start.names);
    let first_line = line.from == 0;
    let mut staves: Vec<PlacedStaff<'_>> = Vec::new();
    let mut width: f64 = 0.0;
    for (index, part) in block.parts().enumerate() {
        let silent = |bar: &Bar| bar.upper.hits.is_empty() && bar.lower.hits.is_empty();
        let own = part.bars.get(line.from..line.to).unwrap_or_default();
        if block.settings.hide_empty_players && index > 0 && own.iter().all(silent) {
            continue;
        }
        let name = part.player.as_ref().map(|player| player.name.clone()).unwrap_or_default();
        let own = bars.iter().map(|bar| bar.of_player(index)).collect();
        let (canvas, long) = drawing.staff((index, part), GroupKind::Player(name), own);
        width = width.max(long);
        let y = staves.last().map_or(0.0, |over| over.y + over.down_to(&canvas, part));
        staves.push(PlacedStaff {
            part,
            skyline: canvas.skyline.clone(),
            nodes: canvas.finish().0,
            y,
        });
    }
    let mut canvas = Canvas::new(engraver);
    canvas.open(GroupKind::System, block.part.bars.get(line.from).map(|bar| bar.span));
    join(&mut canvas, &staves, room);
    for staff in &staves {
        name(&mut canvas, staff, room, names::printed(staff.part, first_line));
    }
    let ink = staves.iter().map(|staff| staff.skyline.whole() + kurbo::Vec2::new(room, staff.y));
    let whole = ink.fold(canvas.skyline.whole(), |whole, ink| whole.union(ink));
    let (mut nodes, _) = canvas.finish();
    if let Some(Node::Group(system)) = nodes.first_mut() {
        system.children.extend(staves.into_iter().flat_map(|staff| {
            let y = staff.y;
            staff.nodes.into_iter().map(move |node| node.moved(room, y))
        }));
    }
    DrawnLine { nodes, ink: whole, width: room + width }
}

/// A staff at its place in a system.
struct PlacedStaff<'a> {
    part: &'a PlayerPart,
    nodes: Vec<Node>,
    skyline: Skyline,
    /// From the middle of the first staff to the middle of this one.
    y: f64,
}

impl PlacedStaff<'_> {
    /// From the middle of this staff to the middle of the next one.
    fn down_to(&self, next: &Canvas<'_>, part: &PlayerPart) -> f64 {
        let (bottom, top) =
            (staff_edges(self.part.settings.staff).1, staff_edges(part.settings.staff).0);
        let ink = self.skyline.distance_to(&next.skyline).map_or(0.0, |ink| ink + BETWEEN_INK);
        ink.max(bottom - top + BETWEEN_STAVES)
    }

    /// y of its outer lines, or of the ends of its barlines.
    fn edges(&self) -> (f64, f64) {
        let (top, bottom) = super::barlines::extent(self.part.settings.staff);
        (self.y + top, self.y + bottom)
    }
}

/// Draws what joins the staves: the line at their left end, the bracket, and barlines from staff to staff.
fn join(canvas: &mut Canvas<'_>, staves: &[PlacedStaff<'_>], room: f64) {
    let defaults = canvas.engraver.fonts.music.defaults();
    let (Some(first), Some(last)) = (staves.first(), staves.last()) else { return };
    let (top, bottom) = (first.edges().0, last.edges().1);
    let mut line = |rect: Rect, kind| {
        canvas.push(Mark::new(kind, Shape::Box(rect)));
    };
    if staves.len() > 1 {
        let thin = defaults.thin_barline_thickness;
        line(Rect::new(room, top, room + thin, bottom), Kind::Barline);
    }
    let right = room - names::BEFORE_STAFF;
    let left = right - defaults.bracket_thickness;
    let (over, under) = (top - names::BRACKET_OVER, bottom + names::BRACKET_OVER);
    line(Rect::new(left, over, right, under), Kind::PlayerBracket);
    let thin = defaults.thin_barline_thickness;
    for y in [over, under - thin] {
        line(Rect::new(right, y, right + names::HOOK, y + thin), Kind::PlayerBracket);
    }
    for pair in staves.windows(2) {
        let ([upper, lower], mut bars) = ([&pair[0], &pair[1]], Vec::new());
        upper.nodes.iter().for_each(|node| barlines(node, &mut bars));
        for rect in bars {
            let rect = Rect::new(room + rect.x0, upper.edges().1, room + rect.x1, lower.edges().0);
            line(rect, Kind::Barline);
        }
    }
}

/// The barlines among the marks of a staff.
fn barlines(node: &Node, found: &mut Vec<Rect>) {
    match node {
        Node::Mark(Mark { kind: Kind::Barline, shape: Shape::Box(rect), .. }) => found.push(*rect),
        Node::Group(group) => group.children.iter().for_each(|node| barlines(node, found)),
        Node::Mark(_) | Node::Inset(_) => {}
    }
}

/// Writes a name before its staff, its middle on that of the staff.
fn name(canvas: &mut Canvas<'_>, staff: &PlacedStaff<'_>, room: f64, name: &str) {
    let engraver = canvas.engraver;
    let points = engraver.points(engraver.style.words);
    let (run, width) = engraver.words(name, FaceStyle::Regular, points);
    let thickness = engraver.fonts.music.defaults().bracket_thickness;
    let right = room - names::BEFORE_STAFF - thickness - names::BEFORE_BRACKET;
    let half = engraver.fonts.text.cap_height(FaceStyle::Regular) * engraver.pt(points) / 2.0;
    canvas.push(engraver.text(Kind::PlayerName, run, right - width, staff.y + half, points));
}
