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

/// Rounds as `f64::round` does, which is a call on processors that this is built for.
fn steps(value: f64, to_the_unit: f64) -> i64 {
    if !value.is_finite() {
        return 0;
    }
    // The cast holds at the ends of its range, which lie far outside of any page.
    let exact = value * to_the_unit;
    let whole = exact as i64;
    let rest = exact - whole as f64;
    if rest >= 0.5 {
        whole.saturating_add(1)
    } else if rest <= -0.5 {
        whole.saturating_sub(1)
    } else {
        whole
    }
}

/// Appends a place in points, and a space.
pub(super) fn put_place(out: &mut Vec<u8>, place: Hundredths) {
    put::<2>(out, place, Some(b' '));
}

/// Appends thousandths as whole units and decimals, and a space.
pub(super) fn put_thousandths(out: &mut Vec<u8>, thousandths: i64) {
    put::<3>(out, thousandths, Some(b' '));
}

/// Appends a length in points, to three decimals.
pub(super) fn put_length(out: &mut Vec<u8>, points: f64) {
    put::<3>(out, thousandths(points), None);
}

/// Appends a whole number.
pub(super) fn put_integer(out: &mut Vec<u8>, number: i64) {
    put::<0>(out, number, None);
}

/// Appends a whole number of steps of which ten to the power of `DECIMALS` make a unit: no exponent,
/// no zero that says nothing (ISO 32000-1, 7.3.3); and what comes after it.
fn put<const DECIMALS: usize>(out: &mut Vec<u8>, number: i64, after: Option<u8>) {
    /// More than the longest number of 64 bits has, with its sign, its point and what comes after it.
    const MOST: usize = 24;
    // From the last to the first, so that the first stand right before the middle.
    let mut signs = [0; 2 * MOST];
    let mut first = MOST;
    let mut before = |sign: u8| {
        first -= 1;
        signs[first] = sign;
    };
    let digit = |of: u64| b'0' + (of % 10) as u8;
    after.into_iter().for_each(&mut before);
    let unit = const { 10_u64.pow(DECIMALS as u32) };
    let (mut whole, mut decimals) = (number.unsigned_abs() / unit, number.unsigned_abs() % unit);
    let has_decimals = decimals > 0;
    let mut telling = false;
    for _ in 0..DECIMALS {
        telling |= decimals % 10 > 0;
        if telling {
            before(digit(decimals));
        }
        decimals /= 10;
    }
    if has_decimals {
        before(b'.');
    } else if whole == 0 {
        before(b'0');
    }
    while whole > 0 {
        before(digit(whole));
        whole /= 10;
    }
    if number < 0 {
        before(b'-');
    }
    let end = out.len() + MOST - first;
    let all = signs.get(first..).and_then(|signs| signs.first_chunk::<MOST>());
    match all.filter(|_| out.capacity() - out.len() >= MOST) {
        // So many bytes at once take less time than as many as there are.
        Some(all) => {
            out.extend_from_slice(all);
            out.truncate(end);
        }
        // What is kept in little room isn't to grow for them.
        None => out.extend_from_slice(signs.get(first..MOST).unwrap_or(&[])),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

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

    proptest! {
        #[test]
        fn steps_are_rounded_as_others_round(value in any::<f64>(), half in -4000..4000_i32) {
            for value in [value, f64::from(half) / 200.0, (f64::from(half) / 200.0).next_down()] {
                let others = if value.is_finite() { (value * 100.0).round() as i64 } else { 0 };
                prop_assert_eq!(place(value), others, "{}", value);
            }
        }

        #[test]
        fn numbers_are_those_that_others_write(number in any::<i64>(), few in -3000..3000_i64) {
            for number in [number, few, i64::MIN, i64::MAX] {
                prop_assert_eq!(written(|out| put_integer(out, number)), number.to_string());
                let text = written(|out| put_thousandths(out, number));
                let whole = text.split('.').next().unwrap_or("");
                let read: i128 = match whole {
                    "" | "-" => 0,
                    whole => whole.parse::<i128>().expect("digits") * 1000,
                };
                let decimals = format!("{:0<3}", text.split('.').nth(1).unwrap_or(""));
                let decimals: i128 = decimals.parse().expect("digits");
                let read = if number < 0 { read - decimals } else { read + decimals };
                prop_assert_eq!(read, i128::from(number), "{}", text);
                prop_assert!(!text.contains('.') || !text.ends_with(['.', '0']), "{}", text);
            }
        }
    }
}
