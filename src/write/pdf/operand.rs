//! Numbers as page content holds them: whole numbers of a small step, written with no more digits than
//! they need.
//!
//! A printer of 1,200 dots to the inch sets dots 0.06 points apart. Places are written in hundredths
//! of a point, so that no ink stands more than 0.005 points, a twelfth of a dot, from where it was
//! drawn. Thicknesses and sizes are written in thousandths, so that lines drawn equally thick are
//! equally thick.

/// A place on the page along one axis, in hundredths of a point.
pub(super) type Hundredths = i64;

/// How many places there are in a point.
pub(super) const PLACES_PER_POINT: f64 = 100.0;

/// How many thousandths there are in a point, and in an em.
pub(super) const THOUSANDTHS: f64 = 1000.0;

/// The place nearest to a coordinate in points; zero for what is not a number.
pub(super) fn place(points: f64) -> Hundredths {
    steps(points, PLACES_PER_POINT)
}

/// The nearest whole number of thousandths; zero for what is not a number.
pub(super) fn thousandths(value: f64) -> i64 {
    steps(value, THOUSANDTHS)
}

fn steps(value: f64, to_the_unit: f64) -> i64 {
    // The cast holds at the ends of its range, which lie far outside of any page.
    if value.is_finite() { (value * to_the_unit).round() as i64 } else { 0 }
}

/// Appends a place in points, and a space.
pub(super) fn put_place(out: &mut Vec<u8>, place: Hundredths) {
    put(out, place, 2);
    out.push(b' ');
}

/// Appends thousandths as whole units and decimals, and a space.
pub(super) fn put_thousandths(out: &mut Vec<u8>, thousandths: i64) {
    put(out, thousandths, 3);
    out.push(b' ');
}

/// Appends a whole number.
pub(super) fn put_integer(out: &mut Vec<u8>, number: i64) {
    put(out, number, 0);
}

/// Appends a whole number of steps of which ten to the power of `decimals` make a unit: no exponent,
/// no zero that says nothing (ISO 32000-1, 7.3.3).
fn put(out: &mut Vec<u8>, number: i64, decimals: usize) {
    /// The longest whole number of 64 bits, in digits.
    const MOST: usize = 20;
    if number < 0 {
        out.push(b'-');
    }
    let mut digits = [b'0'; MOST];
    let mut rest = number.unsigned_abs();
    let mut first = MOST;
    while rest > 0 {
        first -= 1;
        digits[first] = b'0' + (rest % 10) as u8;
        rest /= 10;
    }
    let point = MOST - decimals;
    let end =
        digits[point..].iter().rposition(|digit| *digit != b'0').map_or(point, |at| point + at + 1);
    if first < point {
        out.extend_from_slice(&digits[first..point]);
    } else if end == point {
        out.push(b'0');
    }
    if end > point {
        out.push(b'.');
        out.extend_from_slice(&digits[point..end]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(write: impl FnOnce(&mut Vec<u8>)) -> String {
        let mut out = Vec::new();
        write(&mut out);
        String::from_utf8(out).expect("ASCII").trim_end().to_owned()
    }

    fn at(points: f64) -> String {
        written(|out| put_place(out, place(points)))
    }

    #[test]
    fn numbers_are_short() {
        for (points, text) in [
            (0.0, "0"),
            (-0.001, "0"),
            (1.0, "1"),
            (-1.0, "-1"),
            (0.5, ".5"),
            (-0.25, "-.25"),
            (0.07, ".07"),
            (100.0, "100"),
            (612.304, "612.3"),
            (f64::NAN, "0"),
            (f64::NEG_INFINITY, "0"),
        ] {
            assert_eq!(at(points), text, "{points}");
        }
        assert_eq!(written(|out| put_thousandths(out, 9504)), "9.504");
        assert_eq!(written(|out| put_thousandths(out, -20)), "-.02");
        assert_eq!(written(|out| put_integer(out, -120)), "-120");
        assert_eq!(written(|out| put_integer(out, 0)), "0");
        assert_eq!(written(|out| put_integer(out, i64::MIN)), i64::MIN.to_string());
        assert_eq!(written(|out| put_integer(out, i64::MAX)), i64::MAX.to_string());
    }

    /// A twelfth of a dot of a printer of 1,200 dots to the inch.
    #[test]
    fn places_are_where_they_were_drawn() {
        let bound = 72.0 / 1200.0 / 12.0 + 1e-9;
        let mut points = -1500.0;
        while points < 15_000.0 {
            let read: f64 = at(points).parse().expect("a number");
            assert!((read - points).abs() <= bound, "{points} is written {read}");
            let size = written(|out| put_thousandths(out, thousandths(points)));
            let read: f64 = size.parse().expect("a number");
            assert!((read - points).abs() <= 0.0005 + 1e-9, "{points} is written {read}");
            points += 0.731_27;
        }
        assert!(at(1e300).parse::<f64>().is_ok_and(f64::is_finite));
    }
}
