//! Numbers as writers print them: short, and the same on every machine.

use crate::score::Time;
use kurbo::{BezPath, PathEl, Point};

/// Three decimals, no trailing zeros, no negative zero; zero for what is not a number.
pub(super) fn coordinate(value: f64) -> String {
    let rounded = round(value);
    if rounded == 0.0 { "0".into() } else { rounded.to_string() }
}

/// The value to three decimals; zero for what is not a number.
pub(super) fn round(value: f64) -> f64 {
    let rounded = (value * 1000.0).round() / 1000.0;
    if rounded.is_finite() { rounded } else { 0.0 }
}

/// An exact time: `1`, `3/2`.
pub(super) fn fraction(time: Time) -> String {
    if time.denominator() == 1 { time.numerator().to_string() } else { time.to_string() }
}

/// The `d` of an SVG path.
pub(super) fn path_data(path: &BezPath) -> String {
    let mut data = String::new();
    let mut step = |command: char, points: &[Point]| {
        data.push(command);
        for (nth, point) in points.iter().enumerate() {
            if nth > 0 {
                data.push(' ');
            }
            data.push_str(&coordinate(point.x));
            data.push(' ');
            data.push_str(&coordinate(point.y));
        }
    };
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => step('M', &[p]),
            PathEl::LineTo(p) => step('L', &[p]),
            PathEl::QuadTo(p1, p) => step('Q', &[p1, p]),
            PathEl::CurveTo(p1, p2, p) => step('C', &[p1, p2, p]),
            PathEl::ClosePath => step('Z', &[]),
        }
    }
    data
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        assert_eq!(coordinate(1.0), "1");
        assert_eq!(coordinate(-0.0001), "0");
        assert_eq!(coordinate(0.12345), "0.123");
        assert_eq!(coordinate(f64::NAN), "0");
        assert_eq!(coordinate(f64::INFINITY), "0");
        assert_eq!(coordinate(1e300).parse(), Ok(1e300));
    }

    #[test]
    fn paths_keep_their_curves() {
        let path = BezPath::from_svg("M0 0L1 0Q2 0 2 1C2 2 1 2 0.5 1.5Z").expect("a path");
        assert_eq!(path_data(&path), "M0 0L1 0Q2 0 2 1C2 2 1 2 0.5 1.5Z");
    }
}
