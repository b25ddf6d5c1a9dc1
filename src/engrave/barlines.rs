//! Time signatures inside a line, repeats and barlines.

use super::canvas::Canvas;
use super::engraver::Engraver;
use super::opening;
use super::system::{PlacedBar, staff_edges};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::Glyph;
use crate::score::settings::Staff;
use crate::score::{Block, Closing};
use kurbo::Rect;

/// Top and bottom of barlines: the staff, or a space each way where it is a line or none.
fn extent(staff: Staff) -> (f64, f64) {
    match staff {
        Staff::FiveLines => staff_edges(staff),
        Staff::OneLine | Staff::NoLine => (-1.0, 1.0),
    }
}

fn bar(canvas: &mut Canvas<'_>, staff: Staff, left: f64, thickness: f64) -> f64 {
    let (top, bottom) = extent(staff);
    let rect = Rect::new(left, top, left + thickness, bottom);
    canvas.push(Mark::new(Kind::Barline, Shape::Box(rect)));
    left + thickness
}

fn dots(canvas: &mut Canvas<'_>, engraver: &Engraver<'_>, left: f64) -> f64 {
    let bounds = engraver.fonts.music.bounds(Glyph::REPEAT_DOT);
    let centre = (bounds.y0 + bounds.y1) / 2.0;
    for y in [-0.5, 0.5] {
        let x = left - bounds.x0;
        canvas.push(engraver.glyph(Kind::RepeatDot, Glyph::REPEAT_DOT, x, y - centre));
    }
    left + bounds.width()
}

/// Width of a closing barline.
pub fn closing_width(engraver: &Engraver<'_>, closing: Closing) -> f64 {
    let d = engraver.fonts.music.defaults();
    match closing {
        Closing::Single => d.thin_barline_thickness,
        Closing::Double => d.thin_barline_thickness * 2.0 + d.barline_separation,
        Closing::Repeat { .. } => {
            d.thick_barline_thickness
                + d.thin_thick_barline_separation
                + d.thin_barline_thickness
                + d.repeat_barline_dot_separation
                + engraver.fonts.music.bounds(Glyph::REPEAT_DOT).width()
        }
    }
}

/// Draws what a bar begins with.
pub fn opening(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    placed: &PlacedBar<'_>,
    staff: Staff,
) {
    let defaults = engraver.fonts.music.defaults();
    let mut x = placed.left;
    if placed.measured.opening.time {
        x += engraver.style.after_clef;
        for mark in opening::time_marks(engraver, &placed.bar.meter, x) {
            canvas.push(mark);
        }
        x += opening::time_glyphs(engraver, &placed.bar.meter).1 + engraver.style.before_barline;
    }
    if placed.measured.opening.repeat {
        // At the head of a line there is no line before it to share.
        let joined = placed.measured.opening.joined;
        if joined && placed.first_of_line {
            bar(
                canvas,
                staff,
                x - defaults.thick_barline_thickness,
                defaults.thick_barline_thickness,
            );
        } else if !joined {
            x = bar(canvas, staff, x, defaults.thick_barline_thickness);
        }
        x += defaults.thin_thick_barline_separation;
        x = bar(canvas, staff, x, defaults.thin_barline_thickness);
        dots(canvas, engraver, x + defaults.repeat_barline_dot_separation);
    }
}

/// Draws the barline that closes a bar, ending at the bar's right end.
pub fn closing(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    placed: &PlacedBar<'_>,
) {
    let staff = block.settings.staff;
    let defaults = engraver.fonts.music.defaults();
    let (thin, thick) = (defaults.thin_barline_thickness, defaults.thick_barline_thickness);
    let last = placed.index + 1 == block.bars.len();
    match placed.bar.closing {
        Closing::Single if last => {
            let x = bar(canvas, staff, placed.right - placed.measured.closing, thin);
            bar(canvas, staff, x + defaults.thin_thick_barline_separation, thick);
        }
        Closing::Single => {
            bar(canvas, staff, placed.right - thin, thin);
        }
        Closing::Double => {
            let x = bar(canvas, staff, placed.right - placed.measured.closing, thin);
            bar(canvas, staff, x + defaults.barline_separation, thin);
        }
        Closing::Repeat { times, counted } => {
            let x = dots(canvas, engraver, placed.right - placed.measured.closing);
            let x = bar(canvas, staff, x + defaults.repeat_barline_dot_separation, thin);
            bar(canvas, staff, x + defaults.thin_thick_barline_separation, thick);
            if counted {
                repeat_count(canvas, engraver, placed, staff, times);
            }
        }
    }
}

fn repeat_count(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    placed: &PlacedBar<'_>,
    staff: Staff,
    times: u32,
) {
    let points = engraver.style.tempo_pt;
    let text = format!("{times}×");
    let (run, width) = engraver.words(&text, crate::font::FaceStyle::Bold, points);
    let y = extent(staff).0 - 1.0;
    canvas.push(engraver.text(Kind::Words, run, placed.right - width, y, points));
}
