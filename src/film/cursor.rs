//! What shows where the music is.

use super::layout::FilmLayout;
use kurbo::{BezPath, Point, Rect, Shape as _};

/// Width of the line as a share of the height of the music, and the least, in pixels (no source; looked at).
const LINE: (f64, f64) = (0.016, 2.0);
/// How far it reaches over and under the music, as a share of its height.
const BEYOND: f64 = 0.06;
/// Half the width of the wedge as a share of its height.
const WEDGE: f64 = 0.6;
/// How exactly outlines are drawn, in pixels.
const TOLERANCE: f64 = 0.02;

/// From where to where a line through music reaches that has its ink between two heights, and how wide the line is.
#[must_use]
pub fn cursor_reach((top, bottom): (f64, f64)) -> (f64, f64, f64) {
    let beyond = (bottom - top) * BEYOND;
    (top - beyond, bottom + beyond, (bottom - top) * LINE.0)
}

/// A line through the music, which reaches from one height to another.
#[must_use]
pub fn cursor_line(layout: &FilmLayout, music: (f64, f64), x: f64) -> BezPath {
    let (top, bottom, width) = cursor_reach(music);
    let half = width.max(LINE.1) / 2.0;
    let (top, bottom) = (top.max(layout.strip.y0), bottom.min(layout.strip.y1));
    Rect::new(x - half, top, x + half, bottom).to_path(TOLERANCE)
}

/// A wedge under the music that points at it.
#[must_use]
pub fn cursor_wedge(layout: &FilmLayout, (top, bottom): (f64, f64), x: f64) -> BezPath {
    let height = layout.wedge.height();
    let y = (bottom + (bottom - top) * BEYOND).min(layout.wedge.y0);
    let half = height * WEDGE;
    let mut path = BezPath::new();
    path.move_to(Point::new(x, y));
    path.line_to(Point::new(x + half, y + height));
    path.line_to(Point::new(x - half, y + height));
    path.close_path();
    path
}
