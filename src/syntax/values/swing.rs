//! Swing.

use super::note;
use super::number::figures;
use crate::score::Time;
use crate::score::settings::Swing;
use crate::syntax::grammar::{Rule, value_tokens};

/// Most parts of a swing ratio's side.
const MOST_PARTS: u32 = 16;

/// What is said of the feel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WrittenSwing {
    /// Written notes sound as they are written.
    Straight,
    /// Two even notes sound long and short.
    Swung(Swing),
}

impl WrittenSwing {
    /// Reads `eighths`, `sixteenths`, `eighths 3:2`, `straight`.
    pub fn read(text: &str) -> Option<Self> {
        let mut tokens = value_tokens(Rule::swing_value, text)?;
        let first = tokens.next()?;
        if first.as_rule() == Rule::straight {
            return Some(Self::Straight);
        }
        let mut parts = first.into_inner().peekable();
        let unit = match note::named(parts.peek()?.as_rule()) {
            Some(named) => Time::new(1, named),
            None => note::fraction(parts)?,
        };
        let (mut long, mut short) = (2, 1);
        if let Some(ratio) = tokens.next() {
            let mut sides = ratio.into_inner();
            long = figures(&sides.next()?)?;
            short = figures(&sides.next()?)?;
        }
        let fits = [Time::new(1, 8), Time::new(1, 16)].contains(&unit)
            && short > 0
            && long > short
            && long <= MOST_PARTS;
        fits.then_some(Self::Swung(Swing { unit, long, short }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feels_of_the_guide() {
        let swung = |parts, long, short| {
            Some(WrittenSwing::Swung(Swing { unit: Time::new(1, parts), long, short }))
        };
        assert_eq!(WrittenSwing::read("eighths"), swung(8, 2, 1));
        assert_eq!(WrittenSwing::read("Sixteenths"), swung(16, 2, 1));
        assert_eq!(WrittenSwing::read("eighths 3:2"), swung(8, 3, 2));
        assert_eq!(WrittenSwing::read("1/16 3 : 1"), swung(16, 3, 1));
        assert_eq!(WrittenSwing::read("straight"), Some(WrittenSwing::Straight));
        for text in ["", "quarters", "eighths 2:2", "eighths 17:1", "eighths 3", "1/4", "hard"] {
            assert_eq!(WrittenSwing::read(text), None, "{text}");
        }
    }
}
