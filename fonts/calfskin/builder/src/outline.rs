//! Outlines: cubic sources to TrueType splines, and the facts tests ask of a contour.

use kurbo::{BezPath, CubicBez, PathEl, PathSeg, Point, Rect, Shape};
use write_fonts::read::tables::glyf::CurvePoint;
use write_fonts::tables::glyf::{Bbox, Contour};

/// How far a compiled curve may stray from its source, in font units.
pub const TOLERANCE: f64 = 0.4;

/// The contours of an outline, each as one closed path.
pub fn contours(outline: &BezPath) -> Vec<BezPath> {
    let mut all: Vec<BezPath> = Vec::new();
    for element in outline.elements() {
        match (element, all.last_mut()) {
            (PathEl::MoveTo(_), _) | (_, None) => all.push(BezPath::from_vec(vec![*element])),
            (_, Some(contour)) => contour.push(*element),
        }
    }
    all
}

/// Area of a contour in square font units; positive when it runs counter-clockwise, y up.
pub fn signed_area(contour: &BezPath) -> f64 {
    contour.area()
}

/// One contour as on- and off-curve points of a quadratic spline, rounded to font units.
///
/// The contour is reversed when `reverse` is set: sources run counter-clockwise outside,
/// TrueType runs clockwise.
///
/// # Errors
/// A cubic that no spline of a few pieces follows within [`TOLERANCE`].
pub fn to_spline(contour: &BezPath, reverse: bool) -> Result<Contour, String> {
    let mut points: Vec<CurvePoint> = Vec::new();
    for segment in contour.segments() {
        match segment {
            PathSeg::Line(line) => points.push(on_curve(line.p1)),
            PathSeg::Quad(quad) => {
                points.push(off_curve(quad.p1));
                points.push(on_curve(quad.p2));
            }
            PathSeg::Cubic(cubic) => push_cubic(&mut points, cubic)?,
        }
    }
    let [first, .., last] = points.as_slice() else {
        return Err("a contour has fewer than two points".to_owned());
    };
    // The path closes on its first point; segments() repeats it only for an explicit line.
    if points.len() > 1 && (first.x, first.y) == (last.x, last.y) && first.on_curve && last.on_curve
    {
        points.pop();
    }
    points.dedup();
    if reverse {
        points.reverse();
    }
    if let Some(start) = points.iter().position(|point| point.on_curve) {
        points.rotate_left(start);
    }
    Ok(points.into())
}

/// The box of the ink itself, without the control points, in whole font units.
pub(crate) fn bounds(contours: &[Contour]) -> Bbox {
    let ink =
        contours.iter().map(|contour| to_path(contour).bounding_box()).reduce(|a, b| a.union(b));
    let ink = ink.unwrap_or(Rect::ZERO);
    // Rounding errors must not push an extreme that lies on a point to the next unit.
    let slack = 1e-3;
    Bbox {
        x_min: unit((ink.x0 + slack).floor()),
        y_min: unit((ink.y0 + slack).floor()),
        x_max: unit((ink.x1 - slack).ceil()),
        y_max: unit((ink.y1 - slack).ceil()),
    }
}

/// A spline as quadratic curves, with the points between two control points filled in.
fn to_path(contour: &Contour) -> BezPath {
    let points: Vec<CurvePoint> = contour.iter().copied().collect();
    let place = |point: &CurvePoint| Point::new(f64::from(point.x), f64::from(point.y));
    let mut path = BezPath::new();
    let Some(first) = points.first() else {
        return path;
    };
    path.move_to(place(first));
    let mut control: Option<Point> = None;
    for point in points.iter().skip(1).chain([first]) {
        let here = place(point);
        match (control, point.on_curve) {
            (None, true) => path.line_to(here),
            (None, false) => control = Some(here),
            (Some(bend), true) => {
                path.quad_to(bend, here);
                control = None;
            }
            (Some(bend), false) => {
                path.quad_to(bend, bend.midpoint(here));
                control = Some(here);
            }
        }
    }
    path.close_path();
    path
}

fn push_cubic(points: &mut Vec<CurvePoint>, cubic: CubicBez) -> Result<(), String> {
    let spline = cubic
        .approx_spline(TOLERANCE)
        .ok_or_else(|| format!("the curve ending at {:?} is too wild to compile", cubic.p3))?;
    if let [_, controls @ .., end] = spline.points() {
        points.extend(controls.iter().map(|control| off_curve(*control)));
        points.push(on_curve(*end));
    }
    Ok(())
}

fn on_curve(point: Point) -> CurvePoint {
    CurvePoint::on_curve(unit(point.x), unit(point.y))
}

fn off_curve(point: Point) -> CurvePoint {
    CurvePoint::off_curve(unit(point.x), unit(point.y))
}

/// Rounds to font units; sources are bounded well inside `i16`.
pub(crate) fn unit(value: f64) -> i16 {
    value.round().clamp(f64::from(i16::MIN), f64::from(i16::MAX)) as i16
}
