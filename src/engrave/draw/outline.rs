//! Strokes and bows as filled outlines.

use crate::engrave::engraver::Engraver;
use kurbo::{BezPath, Point, Vec2};

/// The least width of a bow (no source).
const BOW_MIN: f64 = 0.1;
/// How high a bow rises: at its ends' distance of nothing, for each space of it, and at most (no
/// source).
const BOW_HEIGHT: (f64, f64, f64) = (0.25, 0.12, 1.2);
/// How far the handles of a bow stand from its ends, as a share of its width (no source).
const BOW_HANDLE: f64 = 0.3;

/// A straight stroke with square ends.
pub fn stroke(from: Point, to: Point, thickness: f64) -> BezPath {
    let along = to - from;
    let length = along.hypot();
    let across = if length > 0.0 {
        Vec2::new(-along.y, along.x) * (thickness / 2.0 / length)
    } else {
        Vec2::ZERO
    };
    polygon(&[from + across, to + across, to - across, from - across])
}

/// A closed polygon.
pub fn polygon(points: &[Point]) -> BezPath {
    // Beams are many, and stay for as long as their line.
    let mut path = BezPath::with_capacity(points.len() + 1);
    for (index, point) in points.iter().enumerate() {
        if index == 0 { path.move_to(*point) } else { path.line_to(*point) }
    }
    path.close_path();
    path
}

/// A tie or slur, thin at its ends and full in its middle. `side` is 1 for one that hangs below
/// and -1 for one that stands above.
pub fn bow(engraver: &Engraver<'_>, from: Point, to: Point, side: f64) -> BezPath {
    bow_of_height(engraver, from, to, bow_height(to.x - from.x) * side)
}

/// How far the middle of a bow of a width stands from the line between its ends.
pub fn bow_height(width: f64) -> f64 {
    let (least, slope, most) = BOW_HEIGHT;
    (least + width.max(BOW_MIN) * slope).min(most)
}

/// The same whose middle stands so far below the line between its ends, or above it.
pub fn bow_of_height(engraver: &Engraver<'_>, from: Point, to: Point, height: f64) -> BezPath {
    let defaults = engraver.fonts.music.defaults();
    let side = height.signum();
    let (thin, thick) = (defaults.tie_endpoint_thickness, defaults.tie_midpoint_thickness);
    let third = Vec2::new((to.x - from.x) * BOW_HANDLE, (to.y - from.y) * BOW_HANDLE);
    // A cubic whose handles are pulled by h bulges by 3/4 h in its middle.
    let pull = |amount: f64| Vec2::new(0.0, amount * 4.0 / 3.0);
    let outer = height + side * thick / 2.0;
    let inner = height - side * thick / 2.0;
    let end = Vec2::new(0.0, side * thin / 2.0);
    let mut path = BezPath::new();
    path.move_to(from + end);
    path.curve_to(from + third + pull(outer), to - third + pull(outer), to + end);
    path.line_to(to - end);
    path.curve_to(to - third + pull(inner), from + third + pull(inner), from - end);
    path.close_path();
    path
}
