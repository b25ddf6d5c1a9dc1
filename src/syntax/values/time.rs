//! Time signatures.

use super::number::figures;
use crate::score::meter::MeterSign;
use crate::syntax::grammar::{Rule, value_tokens};

/// Units a bar may hold in all, so that a bar stays a bar.
const MOST_UNITS: u32 = 64;
/// The shortest note a time signature may name.
const SHORTEST: u32 = 64;

/// A time signature as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TimeSignature {
    /// The upper number, or the groups of an additive one; each at least 1, at most 64 in all. One
    /// quarter where there is no time signature.
    pub upper: Vec<u32>,
    /// The lower number: 1, 2, 4, 8, 16, 32 or 64.
    pub lower: u32,
    /// How it is printed.
    pub sign: MeterSign,
}

impl TimeSignature {
    /// Reads `4/4`, `2+2+3/8`, `(2+3)/8`, `common`, `cut`, `none`.
    pub fn read(text: &str) -> Option<Self> {
        let mut tokens = value_tokens(Rule::time_value, text)?;
        let first = tokens.next()?;
        let signed = |upper, sign| Some(Self { upper: vec![upper], lower: upper, sign });
        match first.as_rule() {
            Rule::common_time => return signed(4, MeterSign::Common),
            Rule::no_time => {
                return Some(Self { upper: vec![1], lower: 4, sign: MeterSign::Unprinted });
            }
            Rule::cut_time => return signed(2, MeterSign::Cut),
            _ => {}
        }
        let upper: Vec<u32> = first.into_inner().map(|n| figures(&n)).collect::<Option<_>>()?;
        let lower: u32 = figures(&tokens.next()?)?;
        let sum = upper.iter().try_fold(0u32, |sum, n| sum.checked_add(*n))?;
        let fits = !upper.contains(&0)
            && sum <= MOST_UNITS
            && lower.is_power_of_two()
            && lower <= SHORTEST;
        fits.then_some(Self { upper, lower, sign: MeterSign::Numbers })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(text: &str) -> Option<(Vec<u32>, u32)> {
        TimeSignature::read(text).map(|time| (time.upper, time.lower))
    }

    #[test]
    fn signatures_of_the_guide() {
        assert_eq!(numbers("3/4"), Some((vec![3], 4)));
        assert_eq!(numbers("2+2+3/8"), Some((vec![2, 2, 3], 8)));
        assert_eq!(numbers("( 2 + 3 ) / 8"), Some((vec![2, 3], 8)));
        assert_eq!(numbers("Common"), Some((vec![4], 4)));
        assert_eq!(TimeSignature::read("none").map(|time| time.sign), Some(MeterSign::Unprinted));
        assert_eq!(TimeSignature::read("cut").map(|time| time.sign), Some(MeterSign::Cut));
    }

    #[test]
    fn what_is_none() {
        for text in ["", "4", "4/3", "0/4", "65/4", "4/128", "2++3/8", "(2)+3/8", "common time"] {
            assert_eq!(numbers(text), None, "{text}");
        }
        assert_eq!(numbers("4294967296/4"), None);
    }
}
