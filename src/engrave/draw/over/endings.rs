//! Brackets over the endings of repeats. One that goes on in a further line repeats its number in
//! brackets; one after which the music simply goes on is left open at its right (Gould, *Behind
//! Bars*, "Repeat signs", from memory).

use super::ending_bars::ending_from;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::carried::Carried;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::mark::Passes;
use crate::score::{PlayerPart, Span};
use kurbo::Rect;

/// From the end of an ending's bracket to its barline (no source).
const ENDING_GAP: f64 = 0.5;
/// Height of a bracket beyond that of its figures (no source).
const BRACKET_ROOM: f64 = 0.7;
/// From the corner of a bracket to its figures: to the right, and up from the end of its hook (no
/// source).
const FIGURES: (f64, f64) = (0.5, 0.15);

/// The part of an ending that stands on one line.
struct EndingPart<'a> {
    left: f64,
    right: f64,
    /// The passes it is played on.
    passes: &'a Passes,
    /// It comes from the line before.
    goes_on: bool,
    /// Its passage ends here.
    closed: bool,
    place: Option<Span>,
}

/// The endings of a line.
fn parts<'a>(
    part: &'a PlayerPart,
    carried: Carried<'a>,
    bars: &[PlacedBar<'_>],
) -> Vec<EndingPart<'a>> {
    let Some(line) = bars.last() else { return Vec::new() };
    let part = |bar: &PlacedBar<'_>| {
        let (own, goes_on) = match ending_from(part, bar.index) {
            Some(own) => (own, false),
            None if bar.first_of_line => {
                (carried.ending.filter(|ending| ending.last >= bar.index)?, true)
            }
            None => return None,
        };
        let end = bars.iter().find(|bar| bar.index == own.last).unwrap_or(line);
        Some(EndingPart {
            left: bar.left,
            right: end.right,
            passes: own.passes,
            goes_on,
            closed: own.closed && own.last <= line.index,
            place: Some(own.span),
        })
    };
    bars.iter().filter_map(part).collect()
}

/// Draws the endings of a line, all at one height.
pub fn draw(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    carried: Carried<'_>,
    bars: &[PlacedBar<'_>],
) {
    let engraver = canvas.engraver;
    let parts = parts(part, carried, bars);
    let (Some(first), Some(last)) = (parts.first(), parts.last()) else { return };
    let size = engraver.pt(engraver.points(engraver.style.words));
    let height = engraver.fonts.text.cap_height(FaceStyle::Regular) * size + BRACKET_ROOM;
    let staff_top = staff_edges(part.settings.staff).0;
    let over = canvas.skyline.top(first.left, last.right, staff_top);
    let bottom = over - engraver.style.stack_gap;
    for part in &parts {
        draw_part(canvas, part, bottom - height, bottom);
    }
}

fn draw_part(canvas: &mut Canvas<'_>, part: &EndingPart<'_>, top: f64, bottom: f64) {
    let engraver = canvas.engraver;
    let thickness = engraver.fonts.music.defaults().repeat_ending_line_thickness;
    let (left, right, place) = (part.left, part.right - ENDING_GAP, part.place);
    let mut rects = vec![Rect::new(left, top, right, top + thickness)];
    if !part.goes_on {
        rects.push(Rect::new(left, top, left + thickness, bottom));
    }
    if part.closed {
        rects.push(Rect::new(right - thickness, top, right, bottom));
    }
    for rect in rects {
        canvas.push_at(Mark::new(Kind::Ending, Shape::Box(rect)), place);
    }
    let number = match part.goes_on {
        true => format!("({}.)", part.passes.as_str()),
        false => format!("{}.", part.passes.as_str()),
    };
    let points = engraver.points(engraver.style.words);
    let (run, _) = engraver.words(&number, FaceStyle::Regular, points);
    let (dx, dy) = FIGURES;
    canvas.push_at(engraver.text(Kind::Ending, run, left + dx, bottom - dy, points), place);
}
