//! Lengths on paper.

use super::number::figures;
use crate::syntax::grammar::{Rule, value_tokens};

/// Millimetres of an inch.
const INCH: f64 = 25.4;
/// Pixels of an inch (CSS Values and Units, "Absolute lengths").
const PIXELS_PER_INCH: f64 = 96.0;

/// Reads a length in millimetres, at least 0: `7 mm`, `7`, `0.7 cm`.
pub fn millimetres(text: &str) -> Option<f64> {
    let mut tokens = value_tokens(Rule::length_value, text)?;
    let length = figures(&tokens.next()?)?;
    let unit = tokens.next().map_or(Rule::millimetre, |unit| unit.as_rule());
    Some(to_millimetres(length, unit)).filter(|length| length.is_finite())
}

/// A length in one of the grammar's units; anything but centimetres, inches and pixels is millimetres.
pub(super) fn to_millimetres(length: f64, unit: Rule) -> f64 {
    match unit {
        Rule::inch => length * INCH,
        Rule::pixel => length * INCH / PIXELS_PER_INCH,
        Rule::centimetre => length * 10.0,
        _ => length,
    }
}

#[cfg(test)]
mod tests {
    use super::millimetres;

    #[test]
    fn lengths_have_units_or_none() {
        assert_eq!(millimetres("7 mm"), Some(7.0));
        assert_eq!(millimetres("7"), Some(7.0));
        assert_eq!(millimetres("0.7 CM"), Some(7.0));
        assert_eq!(millimetres(".5cm"), Some(5.0));
        for text in ["", "mm", "-3", "7 in", "1e3", "7 7"] {
            assert_eq!(millimetres(text), None, "{text}");
        }
    }
}
