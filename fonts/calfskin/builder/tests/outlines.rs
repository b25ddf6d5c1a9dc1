//! Every source outline is clean: whole units, extremes on points, smooth joins smooth, outer
//! contours counter-clockwise, no crossing. (OpenType "Recommendations for OpenType fonts" asks
//! for points at extremes and for consistent direction.)

#![allow(clippy::expect_used, clippy::panic)]

mod measure;

use calfskin_builder::outline;
use kurbo::{BezPath, ParamCurve, ParamCurveExtrema, PathSeg, Point, Shape, Vec2};
use measure::{glyphs, polygon};

/// Overshoot past an end point that still counts as an extreme on a point, in font units.
const OVERSHOOT: f64 = 1.0;

fn complain(faults: &[String]) {
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn coordinates_are_whole_units() {
    let mut faults = Vec::new();
    for glyph in glyphs() {
        for segment in glyph.outline.segments() {
            let cubic = segment.to_cubic();
            for p in [cubic.p0, cubic.p3] {
                if p.x.fract() != 0.0 || p.y.fract() != 0.0 {
                    faults.push(format!("{}: {p:?}", glyph.name));
                }
            }
        }
    }
    complain(&faults);
}

#[test]
fn extremes_lie_on_points() {
    let mut faults = Vec::new();
    for glyph in glyphs() {
        for segment in glyph.outline.segments() {
            let ends = kurbo::Rect::from_points(segment.start(), segment.end());
            for t in segment.extrema() {
                let p = segment.eval(t);
                let past = (ends.x0 - p.x).max(p.x - ends.x1).max(ends.y0 - p.y).max(p.y - ends.y1);
                if past > OVERSHOOT {
                    faults.push(format!("{}: {past:.1} units past a point at {p:?}", glyph.name));
                }
            }
        }
    }
    complain(&faults);
}

fn heading(segment: &PathSeg, at_end: bool) -> Vec2 {
    let c = segment.to_cubic();
    let pairs = if at_end {
        [(c.p2, c.p3), (c.p1, c.p3), (c.p0, c.p3)]
    } else {
        [(c.p0, c.p1), (c.p0, c.p2), (c.p0, c.p3)]
    };
    pairs.iter().map(|(a, b)| *b - *a).find(|v| v.hypot() > 0.5).unwrap_or(Vec2::ZERO)
}

#[test]
fn joins_are_smooth_or_plainly_corners() {
    let mut faults = Vec::new();
    for glyph in glyphs() {
        for contour in outline::contours(&glyph.outline) {
            let segments: Vec<PathSeg> = contour.segments().collect();
            for (i, segment) in segments.iter().enumerate() {
                let next = &segments[(i + 1) % segments.len()];
                if matches!((segment, next), (PathSeg::Line(_), PathSeg::Line(_))) {
                    continue;
                }
                let (a, b) = (heading(segment, true), heading(next, false));
                let turn = a.cross(b).atan2(a.dot(b)).to_degrees().abs();
                // Rounding to whole units turns a short handle by as much as this.
                let slack = (1.5 / a.hypot().min(b.hypot())).to_degrees().max(1.0);
                if turn > slack && turn < 6.0 {
                    faults.push(format!(
                        "{}: a kink of {turn:.1} degrees at {:?}",
                        glyph.name,
                        segment.end()
                    ));
                }
            }
        }
    }
    complain(&faults);
}

#[test]
fn no_segment_is_a_crumb() {
    let mut faults = Vec::new();
    for glyph in glyphs() {
        for segment in glyph.outline.segments() {
            let length = (segment.end() - segment.start()).hypot();
            if length < 4.0 {
                faults.push(format!(
                    "{}: a segment of {length:.1} units at {:?}",
                    glyph.name,
                    segment.start()
                ));
            }
        }
    }
    complain(&faults);
}

#[test]
fn outer_contours_run_counter_clockwise_and_holes_clockwise() {
    let mut faults = Vec::new();
    for glyph in glyphs() {
        let contours = outline::contours(&glyph.outline);
        for (i, contour) in contours.iter().enumerate() {
            let start = match contour.elements().first() {
                Some(kurbo::PathEl::MoveTo(p)) => *p,
                _ => Point::ZERO,
            };
            let depth = contours
                .iter()
                .enumerate()
                .filter(|(j, other)| *j != i && other.winding(start) != 0)
                .count();
            if (outline::signed_area(contour) > 0.0) != (depth % 2 == 0) {
                faults.push(format!("{}: contour {i} at {start:?}", glyph.name));
            }
        }
    }
    complain(&faults);
}

fn cross(a: Point, b: Point, c: Point) -> f64 {
    (b - a).cross(c - a)
}

fn edges(contour: &BezPath) -> Vec<(Point, Point)> {
    let points = polygon(contour);
    (0..points.len()).map(|i| (points[i], points[(i + 1) % points.len()])).collect()
}

#[test]
fn nothing_crosses() {
    let mut faults = Vec::new();
    for glyph in glyphs() {
        let all: Vec<(usize, usize, (Point, Point))> = outline::contours(&glyph.outline)
            .iter()
            .enumerate()
            .flat_map(|(c, contour)| {
                edges(contour).into_iter().enumerate().map(move |(i, edge)| (c, i, edge))
            })
            .collect();
        for (k, (c1, i1, (a, b))) in all.iter().enumerate() {
            for (c2, i2, (p, q)) in &all[k + 1..] {
                if c1 == c2 && i1.abs_diff(*i2) <= 1 {
                    continue;
                }
                let (d1, d2) = (cross(*a, *b, *p), cross(*a, *b, *q));
                let (d3, d4) = (cross(*p, *q, *a), cross(*p, *q, *b));
                if d1 * d2 < 0.0 && d3 * d4 < 0.0 {
                    faults.push(format!("{}: near {a:?}", glyph.name));
                }
            }
        }
    }
    complain(&faults);
}

#[test]
fn outlines_are_made_of_few_points() {
    let mut faults = Vec::new();
    for glyph in glyphs() {
        for (i, contour) in outline::contours(&glyph.outline).iter().enumerate() {
            let count = contour.segments().count();
            if count > 90 {
                faults.push(format!("{}: contour {i} has {count} points", glyph.name));
            }
        }
    }
    complain(&faults);
}
