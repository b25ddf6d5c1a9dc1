//! Outlines that are boxes.

use kurbo::{BezPath, PathEl, Point, Rect};

/// The box an outline is, where it is one: a beam that doesn't slant.
pub(super) fn upright(path: &BezPath) -> Option<Rect> {
    /// Corners that differ by less, in points, differ by rounding alone.
    const SAME: f64 = 1e-6;
    let [
        PathEl::MoveTo(a),
        PathEl::LineTo(b),
        PathEl::LineTo(c),
        PathEl::LineTo(d),
        PathEl::ClosePath,
    ] = *path.elements()
    else {
        return None;
    };
    let same = |a: f64, b: f64| (a - b).abs() < SAME;
    let level = |a: Point, b: Point| same(a.y, b.y);
    let plumb = |a: Point, b: Point| same(a.x, b.x);
    let is_box = (level(a, b) && plumb(b, c) && level(c, d) && plumb(d, a))
        || (plumb(a, b) && level(b, c) && plumb(c, d) && level(d, a));
    is_box.then(|| Rect::from_points(a, c))
}
