//! What the tests need to know about drawn outlines.
#![allow(dead_code)] // Each test binary uses a part.

use std::path::{Path, PathBuf};

use calfskin_builder::{Glyph, UNITS_PER_SPACE, source};
use kurbo::{BezPath, Line, ParamCurve, PathSeg, Point, Rect, Shape};

pub fn home() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

pub fn glyphs() -> Vec<Glyph> {
    source::read_folder(&home().join("glyphs")).expect("the sources read")
}

pub fn glyph(name: &str) -> Glyph {
    source::read_file(&home().join("glyphs").join(format!("{name}.svg"))).expect(name)
}

/// The bounding box of the ink in staff spaces.
pub fn bounds(glyph: &Glyph) -> Rect {
    let b = glyph.outline.bounding_box();
    Rect::new(
        b.x0 / UNITS_PER_SPACE,
        b.y0 / UNITS_PER_SPACE,
        b.x1 / UNITS_PER_SPACE,
        b.y1 / UNITS_PER_SPACE,
    )
}

/// Lengths of ink met along the line from `a` to `b`, all in staff spaces.
///
/// Contours of the sources never overlap, so the even-odd rule and the nonzero rule agree.
pub fn ink(glyph: &Glyph, a: (f64, f64), b: (f64, f64)) -> Vec<f64> {
    let point = |p: (f64, f64)| Point::new(p.0 * UNITS_PER_SPACE, p.1 * UNITS_PER_SPACE);
    let line = Line::new(point(a), point(b));
    let mut hits: Vec<f64> = glyph
        .outline
        .segments()
        .flat_map(|segment| segment.intersect_line(line).to_vec())
        .map(|hit| hit.line_t)
        .collect();
    hits.sort_by(f64::total_cmp);
    let scale = (line.p1 - line.p0).hypot() / UNITS_PER_SPACE;
    hits.chunks_exact(2).map(|pair| (pair[1] - pair[0]) * scale).collect()
}

/// A contour as a fine polygon.
pub fn polygon(contour: &BezPath) -> Vec<Point> {
    let mut points = Vec::new();
    for segment in contour.segments() {
        match segment {
            PathSeg::Line(line) => points.push(line.p0),
            curved => points.extend((0..24).map(|i| curved.eval(f64::from(i) / 24.0))),
        }
    }
    points.dedup_by(|a, b| (*a - *b).hypot() < 1e-6);
    points
}
