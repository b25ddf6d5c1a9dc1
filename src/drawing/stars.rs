//! Stars of five points.

use kurbo::{BezPath, Point, Vec2};
use std::f64::consts::PI;

/// The inner corners of a star whose sides lie on straight lines through two points, as parts of the radius
/// of its points: cos 72° / cos 36°.
const INNER: f64 = 0.381_966;
/// The same of the hole in a star that is drawn as a line (no source).
const HOLE: f64 = 0.62;

/// A star by its centre and the radius of its points, one of which is up; hollow, or filled.
pub fn star(centre: Point, radius: f64, hollow: bool) -> BezPath {
    let mut path = BezPath::new();
    put(&mut path, corners(centre, radius));
    if hollow {
        // The other way round, so that it is a hole.
        put(&mut path, corners(centre, radius * HOLE).into_iter().rev());
    }
    path
}

fn corners(centre: Point, radius: f64) -> Vec<Point> {
    let corner = |nth: u32| {
        let radius = if nth.is_multiple_of(2) { radius } else { radius * INNER };
        let angle = f64::from(nth) * PI / 5.0;
        centre + Vec2::new(radius * angle.sin(), -radius * angle.cos())
    };
    (0..10).map(corner).collect()
}

fn put(path: &mut BezPath, corners: impl IntoIterator<Item = Point>) {
    for (nth, corner) in corners.into_iter().enumerate() {
        if nth == 0 { path.move_to(corner) } else { path.line_to(corner) }
    }
    path.close_path();
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape as _;

    #[test]
    fn a_star_points_up_and_is_hollow_where_asked() {
        let filled = star(Point::ZERO, 1.0, false);
        assert!((filled.bounding_box().y0 + 1.0).abs() < 1e-9);
        assert_ne!(filled.winding(Point::ZERO), 0);
        assert_eq!(star(Point::ZERO, 1.0, true).winding(Point::ZERO), 0);
    }
}
