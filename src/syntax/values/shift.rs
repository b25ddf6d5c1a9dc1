//! Lines of a variation that move a phrase in time.

use super::note::in_a_row;
use super::number::amount;
use crate::score::Time;
use crate::syntax::grammar::{Rule, value_tokens};

/// Most notes or beats that a phrase may be turned by.
const MOST_TURNED: usize = 999;

/// How far a phrase turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TurnLine {
    /// By so many notes, 1 to 999.
    Notes(i64),
    /// By so many beats, 1 to 999.
    Beats(i64),
    /// By a time, of a whole note.
    Time(Time),
}

/// Reads how much later everything comes, of a whole note, below zero where it comes earlier: `one
/// sixteenth`, `dotted eighth later`, `one eighth earlier`, `back one eighth`.
pub fn shift(text: &str) -> Option<Time> {
    let (mut by, mut earlier) = (None, false);
    for token in value_tokens(Rule::shift_value, text)? {
        match token.as_rule() {
            Rule::length => by = Some(in_a_row(token)?),
            Rule::shift_back | Rule::shift_earlier => earlier = true,
            _ => {}
        }
    }
    let by = by?;
    Some(if earlier { Time::ZERO - by } else { by })
}

/// Reads the same in beats, 1 to 999: `one beat`, `2 beats earlier`.
pub fn shift_beats(text: &str) -> Option<i64> {
    let (mut by, mut earlier) = (None, false);
    for token in value_tokens(Rule::shift_beats_value, text)? {
        match token.as_rule() {
            Rule::beats => {
                let count = token.into_inner().next()?;
                let count = if count.as_rule() == Rule::amount { amount(count) } else { Some(1) };
                by = count
                    .filter(|n| (1..=MOST_TURNED).contains(n))
                    .and_then(|n| i64::try_from(n).ok());
            }
            Rule::shift_back | Rule::shift_earlier => earlier = true,
            _ => {}
        }
    }
    Some(if earlier { -by? } else { by? })
}

impl TurnLine {
    /// Reads `3 notes`, `one beat`, `notes`, `one eighth`.
    pub fn read(text: &str) -> Option<Self> {
        let mut count = Some(1);
        for token in value_tokens(Rule::rotate_value, text)? {
            let number = || i64::try_from(count.filter(|n| (1..=MOST_TURNED).contains(n))?).ok();
            match token.as_rule() {
                Rule::amount => count = amount(token),
                Rule::turn_notes => return number().map(Self::Notes),
                Rule::turn_beats => return number().map(Self::Beats),
                _ => return in_a_row(token).map(Self::Time),
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shifts_of_the_guide() {
        assert_eq!(shift("one sixteenth"), Some(Time::new(1, 16)));
        assert_eq!(shift("dotted eighth"), Some(Time::new(3, 16)));
        assert_eq!(shift("one eighth earlier"), Some(Time::ZERO - Time::new(1, 8)));
        assert_eq!(shift("back 3/16"), Some(Time::ZERO - Time::new(3, 16)));
        assert_eq!(shift("an eighth later"), Some(Time::new(1, 8)));
        for text in ["", "far", "0 eighths", "65 eighths", "back one eighth earlier", "One eighth"]
        {
            assert_eq!(shift(text), None, "{text}");
        }
    }

    #[test]
    fn shifts_by_beats() {
        assert_eq!(shift_beats("one beat"), Some(1));
        assert_eq!(shift_beats("a beat later"), Some(1));
        assert_eq!(shift_beats("2 beats earlier"), Some(-2));
        assert_eq!(shift_beats("back three beats"), Some(-3));
        for text in ["", "beat", "0 beats", "1000 beats", "one eighth"] {
            assert_eq!(shift_beats(text), None, "{text}");
        }
    }

    #[test]
    fn turns_of_the_guide() {
        assert_eq!(TurnLine::read("3 notes"), Some(TurnLine::Notes(3)));
        assert_eq!(TurnLine::read("one beat"), Some(TurnLine::Beats(1)));
        assert_eq!(TurnLine::read("beats"), Some(TurnLine::Beats(1)));
        assert_eq!(TurnLine::read("one eighth"), Some(TurnLine::Time(Time::new(1, 8))));
        for text in ["", "0 notes", "1000 notes", "a beat", "3 bars"] {
            assert_eq!(TurnLine::read(text), None, "{text}");
        }
    }
}
