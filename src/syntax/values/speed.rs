//! How fast a hand or a foot is.

use super::number::figures;
use crate::syntax::grammar::{Rule, value_tokens};
use std::ops::RangeInclusive;

/// Strokes a second that a limb may be said to keep up.
const RANGE: RangeInclusive<f64> = 1.0..=30.0;

/// Reads strokes a second from 1 to 30: `8`, `8.5 strokes a second`.
pub fn strokes_a_second(text: &str) -> Option<f64> {
    let mut tokens = value_tokens(Rule::speed_value, text)?;
    figures(&tokens.next()?).filter(|speed| RANGE.contains(speed))
}

#[cfg(test)]
mod tests {
    use super::strokes_a_second;

    #[test]
    fn speeds_with_and_without_words() {
        assert_eq!(strokes_a_second("9"), Some(9.0));
        assert_eq!(strokes_a_second("8.5 strokes a second"), Some(8.5));
        for text in ["", "0.5", "31", "fast", "8 strokes"] {
            assert_eq!(strokes_a_second(text), None, "{text}");
        }
    }
}
