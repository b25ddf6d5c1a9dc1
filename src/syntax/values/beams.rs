//! Which notes share a beam.

use super::note;
use super::number::figures;
use crate::score::Time;
use crate::syntax::grammar::{Rule, value_tokens};

/// Most notes that the groups of a bar may have in all.
const MOST_NOTES: u32 = 256;

/// Groups under one beam as they are written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrittenBeams {
    /// The beats, as the time signature has them.
    Beats,
    /// Groups of one length.
    Length(Time),
    /// Groups of so many notes, at least two groups; 256 notes at most in all.
    Groups(Vec<u32>),
}

impl WrittenBeams {
    /// Reads `beats`, `1/2`, `dotted quarter` or `3+3+2`.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let first = value_tokens(Rule::beams_value, text)?.next()?;
        match first.as_rule() {
            Rule::beams_beats => Some(Self::Beats),
            Rule::beams_sum => {
                let groups: Vec<u32> =
                    first.into_inner().map(|n| figures(&n)).collect::<Option<_>>()?;
                let sum = groups.iter().try_fold(0u32, |sum, n| sum.checked_add(*n))?;
                let fits = !groups.contains(&0) && sum <= MOST_NOTES;
                fits.then_some(Self::Groups(groups))
            }
            _ => note::of_token(first).map(Self::Length),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn groups_of_the_guide() {
        let read = WrittenBeams::read;
        assert_eq!(read("beats"), Some(WrittenBeams::Beats));
        assert_eq!(read("1/2"), Some(WrittenBeams::Length(Time::new(1, 2))));
        assert_eq!(read("dotted quarter"), Some(WrittenBeams::Length(Time::new(3, 8))));
        assert_eq!(read("3+3 + 2"), Some(WrittenBeams::Groups(vec![3, 3, 2])));
        for wrong in ["", "3", "3+", "3+0", "200+100", "0/4", "halves and quarters"] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }
}
