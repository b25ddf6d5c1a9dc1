//! Barlines and repeats.

use super::canvas::Canvas;
use super::placed_bar::PlacedBar;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::place::FinalBarline;
use crate::engrave::staff::staff_edges;
use crate::font::{FaceStyle, Glyph};
use crate::score::settings::Staff;
use crate::score::{Closing, PlayerPart};
use kurbo::Rect;

/// From a repeat's barline to the number of times over it (no source).
const COUNT_LIFT: f64 = 1.0;
/// From the middle of the staff to the middle of a repeat's dots: the spaces next to it.
const DOT_Y: f64 = 0.5;

/// Top and bottom of barlines: the staff, or a space each way where it is a line or none.
pub fn extent(staff: Staff) -> (f64, f64) {
    match staff {
        Staff::FiveLines => staff_edges(staff),
        Staff::OneLine | Staff::NoLine => (-1.0, 1.0),
    }
}

/// Draws a line from its left edge; the x of its right edge.
pub fn line(canvas: &mut Canvas<'_>, staff: Staff, left: f64, thickness: f64) -> f64 {
    let (top, bottom) = extent(staff);
    let rect = Rect::new(left, top, left + thickness, bottom);
    canvas.push(Mark::new(Kind::Barline, Shape::Box(rect)));
    left + thickness
}

/// Draws the dots of a repeat from their left edge; the x of their right edge.
pub fn dots(canvas: &mut Canvas<'_>, left: f64) -> f64 {
    let engraver = canvas.engraver;
    let bounds = engraver.fonts.music.bounds(Glyph::REPEAT_DOT);
    let centre = (bounds.y0 + bounds.y1) / 2.0;
    for y in [-DOT_Y, DOT_Y] {
        let x = left - bounds.x0;
        canvas.push(engraver.glyph(Kind::RepeatDot, Glyph::REPEAT_DOT, x, y - centre));
    }
    left + bounds.width()
}

/// Draws the barline that closes a bar, ending at the bar's right end.
pub fn closing(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    end: FinalBarline,
    placed: &PlacedBar<'_>,
) {
    let engraver = canvas.engraver;
    let staff = part.settings.staff;
    let defaults = engraver.fonts.music.defaults();
    let (thin, thick) = (defaults.thin_barline_thickness, defaults.thick_barline_thickness);
    let last = placed.index + 1 == part.bars.len();
    match placed.bar.closing {
        Closing::Single if last => {
            let x = line(canvas, staff, placed.right - placed.spaced.closing, thin);
            if let Some(share) = end.thickness() {
                let x = x + defaults.thin_thick_barline_separation;
                line(canvas, staff, x, thick * share);
            }
        }
        Closing::Single => {
            line(canvas, staff, placed.right - thin, thin);
        }
        Closing::Double => {
            let x = line(canvas, staff, placed.right - placed.spaced.closing, thin);
            line(canvas, staff, x + defaults.barline_separation, thin);
        }
        Closing::Repeat { times, counted } => {
            let x = dots(canvas, placed.right - placed.spaced.closing);
            let x = line(canvas, staff, x + defaults.repeat_barline_dot_separation, thin);
            line(canvas, staff, x + defaults.thin_thick_barline_separation, thick);
            if counted {
                repeat_count(canvas, placed, staff, times);
            }
        }
    }
}

fn repeat_count(canvas: &mut Canvas<'_>, placed: &PlacedBar<'_>, staff: Staff, times: u32) {
    let engraver = canvas.engraver;
    let points = engraver.points(engraver.style.tempo);
    let text = format!("{times}×");
    let (run, width) = engraver.words(&text, FaceStyle::Semibold, points);
    let y = extent(staff).0 - COUNT_LIFT;
    canvas.push(engraver.text(Kind::Words, run, placed.right - width, y, points));
}
