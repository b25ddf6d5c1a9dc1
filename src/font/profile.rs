//! An outline seen from above and from below, in upright strips.

use kurbo::{BezPath, PathEl, Point, Rect};

/// Width of a strip, in the outline's unit: narrow enough that a slanted beam or a flag lets its
/// neighbours come close.
const STRIP: f64 = 0.25;
/// Most strips of one outline; wider ones get wider strips.
const MOST_STRIPS: usize = 64;
/// How far the flattened outline may lie from the true one.
const FLATNESS: f64 = 0.01;

/// Boxes that cover an outline, side by side, each as high as the outline is there.
pub fn strips(path: &BezPath) -> Vec<Rect> {
    if path.is_empty() {
        return Vec::new();
    }
    // Most beams are level.
    if let Some(whole) = upright(path) {
        return vec![whole];
    }
    let whole = kurbo::Shape::bounding_box(path);
    let count = ((whole.width() / STRIP).ceil() as usize).clamp(1, MOST_STRIPS);
    if count == 1 {
        return vec![whole];
    }
    let width = whole.width() / count as f64;
    let mut heights: Vec<Option<(f64, f64)>> = vec![None; count];
    let mut cover = |from: Point, to: Point| {
        let (left, right) = if from.x <= to.x { (from, to) } else { (to, from) };
        let strip = |x: f64| (((x - whole.x0) / width) as usize).min(count - 1);
        let first = strip(left.x);
        let strips = heights.iter_mut().enumerate().skip(first);
        for (index, height) in strips.take(strip(right.x) + 1 - first) {
            let edge = whole.x0 + index as f64 * width;
            for x in [left.x.max(edge), right.x.min(edge + width)] {
                let share = if right.x > left.x { (x - left.x) / (right.x - left.x) } else { 0.0 };
                let y = left.y + (right.y - left.y) * share.clamp(0.0, 1.0);
                // An upright segment covers its whole height.
                let ends = if right.x > left.x { [y, y] } else { [left.y, right.y] };
                for y in ends {
                    let (top, bottom) = height.unwrap_or((y, y));
                    *height = Some((top.min(y), bottom.max(y)));
                }
            }
        }
    };
    let (mut start, mut at) = (Point::ZERO, Point::ZERO);
    kurbo::flatten(path, FLATNESS, |element| match element {
        PathEl::MoveTo(to) => {
            start = to;
            at = to;
        }
        PathEl::LineTo(to) => {
            cover(at, to);
            at = to;
        }
        PathEl::ClosePath => {
            cover(at, start);
            at = start;
        }
        // Flattened outlines have no curves.
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    let rects = heights.into_iter().enumerate().filter_map(|(index, height)| {
        let (top, bottom) = height?;
        let left = whole.x0 + index as f64 * width;
        Some(Rect::new(left, top, left + width, bottom))
    });
    rects.collect()
}

/// The box that an outline is, where it is one with level and upright sides, as a beam that doesn't slant.
pub fn upright(path: &BezPath) -> Option<Rect> {
    /// Corners that differ by less, in the outline's unit, differ by rounding alone.
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_is_one_strip_and_what_leans_is_not() {
        let drawn = |points: [(f64, f64); 4]| {
            let mut path = BezPath::new();
            path.move_to(points[0]);
            points[1..].iter().for_each(|point| path.line_to(*point));
            path.close_path();
            strips(&path)
        };
        let whole = Rect::new(1.0, -0.5, 5.0, 0.0);
        assert_eq!(drawn([(1.0, -0.5), (5.0, -0.5), (5.0, 0.0), (1.0, 0.0)]), [whole]);
        assert_eq!(drawn([(5.0, 0.0), (5.0, -0.5), (1.0, -0.5), (1.0, 0.0)]), [whole]);
        assert_eq!(drawn([(1.0, -0.5), (5.0, -0.4), (5.0, 0.1), (1.0, 0.0)]).len(), 16);
        assert_eq!(drawn([(1.0, -0.5), (5.0, -0.5), (4.0, 0.0), (0.0, 0.0)]).len(), 20);
    }

    #[test]
    fn a_slanted_line_is_a_stair() {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.line_to((2.0, 1.0));
        path.line_to((2.0, 1.5));
        path.line_to((0.0, 0.5));
        path.close_path();
        let strips = strips(&path);
        assert_eq!(strips.len(), 8);
        assert!((strips[0].y0 - 0.0).abs() < 1e-9 && (strips[0].y1 - 0.625).abs() < 1e-9);
        assert!((strips[7].y0 - 0.875).abs() < 1e-9 && (strips[7].y1 - 1.5).abs() < 1e-9);
        assert!(strips.windows(2).all(|pair| pair[0].y0 < pair[1].y0));
    }

    #[test]
    fn strips_cover_the_outline_and_no_more() {
        let circle = kurbo::Shape::to_path(&kurbo::Circle::new((1.0, 2.0), 1.5), 0.001);
        let all = strips(&circle).into_iter().reduce(|a, b| a.union(b)).unwrap();
        let whole = kurbo::Shape::bounding_box(&circle);
        assert!((all.y0 - whole.y0).abs() < 0.02 && (all.y1 - whole.y1).abs() < 0.02);
        assert!((all.x0 - whole.x0).abs() < 1e-9 && (all.x1 - whole.x1).abs() < 1e-9);
    }

    #[test]
    fn nothing_has_no_strips() {
        assert!(strips(&BezPath::new()).is_empty());
    }
}
