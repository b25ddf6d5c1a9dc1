//! Signs that stand for bars: bars played again, and rests of several bars (Gould, *Behind Bars*,
//! "Repeat signs" and "Multi-bar rests", from memory).

use super::canvas::Canvas;
use super::placed_bar::PlacedBar;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::staff::staff_edges;
use crate::font::Glyph;
use crate::score::Again;
use crate::score::settings::Staff;
use kurbo::BezPath;

/// Half the height of the strokes that end the bar of a rest (no source).
const END_HALF: f64 = 1.0;
/// From the barlines to the ends of the bar of a rest (no source).
const END_ROOM: f64 = 1.2;
/// Size of the number over a repeat sign against the figures of a time signature (no source).
const REPEAT_NUMBER: f64 = 0.62;
/// From the staff to a number over it (no source).
const NUMBER_LIFT: f64 = 0.5;

/// Draws the repeat sign of a bar, where it has its middle there.
pub fn again(canvas: &mut Canvas<'_>, bar: &PlacedBar<'_>, again: Again, staff: Staff) {
    let Again { bars, part } = again;
    if bars == 1 {
        repeat(canvas, Glyph::REPEAT_1_BAR, bar.middle());
    } else if part + 1 == bars / 2 {
        let x = bar.right - bar.spaced.closing / 2.0;
        let glyph = if bars == 2 { Glyph::REPEAT_2_BARS } else { Glyph::REPEAT_4_BARS };
        repeat(canvas, glyph, x);
        let top = staff_edges(staff).0;
        number(canvas, (bars.into(), Kind::BarRepeat), (x, top), REPEAT_NUMBER);
    }
}

/// Draws a rest of several bars in the first of them.
pub fn rest(
    canvas: &mut Canvas<'_>,
    bar: &PlacedBar<'_>,
    (bars, part): (usize, usize),
    staff: Staff,
) {
    if part == 0 {
        rest_bar(canvas, bar);
        let bars = u32::try_from(bars).unwrap_or(u32::MAX);
        number(canvas, (bars, Kind::Rest), (bar.middle(), staff_edges(staff).0), 1.0);
    }
}

fn repeat(canvas: &mut Canvas<'_>, glyph: Glyph, x: f64) {
    let engraver = canvas.engraver;
    let bounds = engraver.fonts.music.bounds(glyph);
    let origin = x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push(engraver.glyph(Kind::BarRepeat, glyph, origin, 0.0));
}

/// A thick bar on the middle line with a stroke at each end.
fn rest_bar(canvas: &mut Canvas<'_>, bar: &PlacedBar<'_>) {
    let engraver = canvas.engraver;
    let defaults = engraver.fonts.music.defaults();
    let half = defaults.h_bar_thickness / 2.0;
    let stroke = defaults.thin_barline_thickness;
    let left = bar.left + bar.opening + END_ROOM;
    let right = bar.right - bar.spaced.closing - END_ROOM;
    // One outline, clockwise from the upper left corner.
    let corners = [
        (left, -END_HALF),
        (left + stroke, -END_HALF),
        (left + stroke, -half),
        (right - stroke, -half),
        (right - stroke, -END_HALF),
        (right, -END_HALF),
        (right, END_HALF),
        (right - stroke, END_HALF),
        (right - stroke, half),
        (left + stroke, half),
        (left + stroke, END_HALF),
        (left, END_HALF),
    ];
    let mut path = BezPath::new();
    path.move_to(corners[0]);
    corners[1..].iter().for_each(|corner| path.line_to(*corner));
    path.close_path();
    canvas.push(Mark::new(Kind::Rest, Shape::Path(path)));
}

/// A number centred over the staff.
fn number(
    canvas: &mut Canvas<'_>,
    (number, kind): (u32, Kind),
    (x, staff_top): (f64, f64),
    size: f64,
) {
    let engraver = canvas.engraver;
    let music = &engraver.fonts.music;
    let text = number.to_string();
    let digits: Vec<Glyph> =
        text.chars().filter_map(|c| c.to_digit(10)).map(Glyph::time_digit).collect();
    let width: f64 = digits.iter().map(|glyph| music.advance(*glyph) * size).sum();
    let mut left = x - width / 2.0;
    let lowest = digits.iter().map(|glyph| music.bounds(*glyph).y1).fold(0.0, f64::max);
    let top = canvas.skyline.top(left, left + width, staff_top);
    let y = top - NUMBER_LIFT - lowest * size;
    for glyph in digits {
        canvas.push(engraver.glyph_scaled(kind, glyph, left, y, size));
        left += music.advance(glyph) * size;
    }
}
