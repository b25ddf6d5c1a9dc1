//! Brackets over the endings of repeats.

use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::Span;
use crate::score::{Bar, Block, Closing, MarkKind};
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
    /// The passes it is played on, where it begins here.
    passes: Option<&'a str>,
    /// A repeat closes it here.
    closed: bool,
    place: Option<Span>,
}

/// The passes of the ending that begins with a bar.
fn ending(bar: &Bar) -> Option<(&str, Span)> {
    bar.marks.iter().find_map(|mark| {
        if let MarkKind::Ending(passes) = &mark.kind {
            Some((passes.as_str(), mark.span))
        } else {
            None
        }
    })
}

/// Whether an ending that began before a bar reaches into it.
fn ending_goes_on(block: &Block, index: usize) -> bool {
    let before = block.bars.get(..index).unwrap_or(&[]).iter().rev();
    for bar in before {
        if bar.closing != Closing::Single {
            return false;
        }
        if ending(bar).is_some() {
            return true;
        }
    }
    false
}

/// The endings of a line: each from its bar up to the next ending, or to the repeat or double line
/// that closes it.
fn parts<'a>(block: &Block, bars: &'a [PlacedBar<'_>]) -> Vec<EndingPart<'a>> {
    let mut parts = Vec::new();
    let mut index = 0;
    while let Some(bar) = bars.get(index) {
        let (passes, place) = match ending(bar.bar) {
            Some((passes, span)) => (Some(passes), Some(span)),
            None if index == 0 && ending_goes_on(block, bar.index) => (None, None),
            None => {
                index += 1;
                continue;
            }
        };
        let mut last = index;
        while bars.get(last).is_some_and(|b| b.bar.closing == Closing::Single)
            && bars.get(last + 1).is_some_and(|b| ending(b.bar).is_none())
        {
            last += 1;
        }
        let end = bars.get(last).unwrap_or(bar);
        let closed = match end.bar.closing {
            Closing::Repeat { .. } => true,
            Closing::Single | Closing::Double => false,
        };
        parts.push(EndingPart { left: bar.left, right: end.right, passes, closed, place });
        index = last + 1;
    }
    parts
}

/// Draws the endings of a line, all at one height.
pub fn draw(canvas: &mut Canvas<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    let engraver = canvas.engraver;
    let parts = parts(block, bars);
    let (Some(first), Some(last)) = (parts.first(), parts.last()) else { return };
    let size = engraver.pt(engraver.points(engraver.style.words));
    let height = engraver.fonts.text.cap_height(FaceStyle::Regular) * size + BRACKET_ROOM;
    let staff_top = staff_edges(block.settings.staff).0;
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
    if part.passes.is_some() {
        rects.push(Rect::new(left, top, left + thickness, bottom));
    }
    if part.closed {
        rects.push(Rect::new(right - thickness, top, right, bottom));
    }
    for rect in rects {
        canvas.push_at(Mark::new(Kind::Ending, Shape::Box(rect)), place);
    }
    let Some(passes) = part.passes else { return };
    let points = engraver.points(engraver.style.words);
    let (run, _) = engraver.words(&format!("{passes}."), FaceStyle::Regular, points);
    let (dx, dy) = FIGURES;
    canvas.push_at(engraver.text(Kind::Ending, run, left + dx, bottom - dy, points), place);
}
