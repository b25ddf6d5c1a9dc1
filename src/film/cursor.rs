//! What shows where the music is.

use super::layout::FilmLayout;
use kurbo::{BezPath, Point, Rect, Shape as _};

/// Width of the line as a share of the height of a frame, and the least, in pixels (no source; looked at).
const LINE: (f64, f64) = (0.013, 2.0);
/// Half the width of the wedge as a share of its height.
const WEDGE: f64 = 0.6;
/// How exactly outlines are drawn, in pixels.
const TOLERANCE: f64 = 0.02;

/// A line through the music.
#[must_use]
pub fn cursor_line(layout: &FilmLayout, x: f64) -> BezPath {
    let half = (layout.frame.height() * LINE.0).max(LINE.1) / 2.0;
    Rect::new(x - half, layout.strip.y0, x + half, layout.strip.y1).to_path(TOLERANCE)
}

/// A wedge under the music that points at it.
#[must_use]
pub fn cursor_wedge(layout: &FilmLayout, x: f64) -> BezPath {
    let room = layout.wedge;
    let half = room.height() * WEDGE;
    let mut path = BezPath::new();
    path.move_to(Point::new(x, room.y0));
    path.line_to(Point::new(x + half, room.y1));
    path.line_to(Point::new(x - half, room.y1));
    path.close_path();
    path
}
