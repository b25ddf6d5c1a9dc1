//! Numbers as writers print them: short, and the same on every machine.

use crate::score::Time;
use kurbo::{BezPath, PathEl, Point};

/// Three decimals, no trailing zeros, no negative zero; zero for what is not a number.
pub(super) fn coordinate(value: f64) -> String {
    let rounded = round(value);
    if rounded == 0.0 { "0".into() } else { rounded.to_string() }
}

/// Appends the same.
pub(super) fn put_coordinate(out: &mut String, value: f64) {
    /// The largest that is written digit by digit: far outside of any page.
    const MOST: f64 = 1e9;
    if !value.is_finite() || value.abs() >= MOST {
        return out.push_str(&coordinate(value));
    }
    let thousandths = (value * 1000.0).round() as i64;
    if thousandths < 0 {
        out.push('-');
    }
    let (whole, part) = (thousandths.unsigned_abs() / 1000, thousandths.unsigned_abs() % 1000);
    let mut digits = [0_u8; 20];
    let mut first = digits.len();
    let mut rest = whole;
    loop {
        first -= 1;
        digits[first] = b'0' + (rest % 10) as u8;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    out.extend(digits[first..].iter().map(|digit| char::from(*digit)));
    if part > 0 {
        out.push('.');
        let decimals = [part / 100, part / 10 % 10, part % 10];
        let last = decimals.iter().rposition(|digit| *digit > 0).unwrap_or(0);
        out.extend(decimals[..=last].iter().map(|digit| char::from(b'0' + *digit as u8)));
    }
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
    put_path(&mut data, path, |point| point);
    data
}

/// Appends the same of a path whose points are mapped by a function.
pub(super) fn put_path(out: &mut String, path: &BezPath, map: impl Fn(Point) -> Point) {
    let mut step = |command: char, points: &[Point]| {
        out.push(command);
        for (nth, point) in points.iter().enumerate() {
            if nth > 0 {
                out.push(' ');
            }
            let point = map(*point);
            put_coordinate(out, point.x);
            out.push(' ');
            put_coordinate(out, point.y);
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
    fn coordinates_are_written_alike() {
        let mut value = -2_000.0;
        while value < 100_000.0 {
            for value in [value, value / 977.0, value * 1e6] {
                let mut written = String::new();
                put_coordinate(&mut written, value);
                assert_eq!(written, coordinate(value));
            }
            value += 3.737;
        }
        for value in [f64::NAN, f64::INFINITY, -0.0, -0.0004, 0.0005, 1e300, -999_999_999.25] {
            let mut written = String::new();
            put_coordinate(&mut written, value);
            assert_eq!(written, coordinate(value));
        }
    }

    #[test]
    fn paths_keep_their_curves() {
        let path = BezPath::from_svg("M0 0L1 0Q2 0 2 1C2 2 1 2 0.5 1.5Z").expect("a path");
        assert_eq!(path_data(&path), "M0 0L1 0Q2 0 2 1C2 2 1 2 0.5 1.5Z");
    }
}
