//! Note values.

use super::number::{amount, figures};
use crate::score::Time;
use crate::syntax::grammar::{Rule, Token, value_tokens};

/// Most notes of one kind that a fraction may name.
const MOST_PARTS: u32 = 64;
/// The shortest note that may be named.
const SHORTEST: u32 = 64;
/// Most notes in a row that a length may name.
const MOST_IN_A_ROW: usize = 64;

/// Reads a note value: `1/8`, `eighth`, `dotted quarter`, `crotchets`, `half note`, `3/8`.
pub fn note(text: &str) -> Option<Time> {
    of_token(value_tokens(Rule::note_value, text)?.next()?)
}

/// Reads a side of a metric modulation: as any note, or a third of the one twice as long, as
/// `triplet-eighth`.
pub fn modulated(text: &str) -> Option<Time> {
    let mut tokens = value_tokens(Rule::modulated_value, text)?;
    let first = tokens.next()?;
    if first.as_rule() != Rule::triplet {
        return of_token(first);
    }
    let plain = of_token(tokens.next()?)?;
    (plain.numerator() == 1).then(|| plain * 2 / 3)
}

/// The length of a token `note`, of a whole note.
pub(super) fn of_token(token: Token<'_>) -> Option<Time> {
    let inner = token.into_inner().next()?;
    if inner.as_rule() == Rule::note_fraction {
        return fraction(inner.into_inner());
    }
    let mut dotted = false;
    let mut note = Time::ZERO;
    for part in inner.into_inner() {
        match named(part.as_rule()) {
            Some(parts) => note = Time::new(1, parts),
            None => dotted = true,
        }
    }
    Some(if dotted { note + note / 2 } else { note })
}

/// A number of notes over what part of a whole note each is.
pub(super) fn fraction<'a>(mut numbers: impl Iterator<Item = Token<'a>>) -> Option<Time> {
    let count: u32 = figures(&numbers.next()?)?;
    let parts: u32 = figures(&numbers.next()?)?;
    let fits = (1..=MOST_PARTS).contains(&count) && parts.is_power_of_two() && parts <= SHORTEST;
    fits.then(|| Time::new(count.into(), parts.into()))
}

/// Which part of a whole note a name means.
pub(super) fn named(rule: Rule) -> Option<i64> {
    Some(match rule {
        Rule::whole_note => 1,
        Rule::half_note => 2,
        Rule::quarter_note => 4,
        Rule::eighth_note => 8,
        Rule::sixteenth_note => 16,
        Rule::thirty_second_note => 32,
        Rule::sixty_fourth_note => 64,
        _ => return None,
    })
}

/// The length of a token `length`: one note, or a number of them in a row.
pub(super) fn in_a_row(token: Token<'_>) -> Option<Time> {
    let mut parts = token.into_inner();
    let first = parts.next()?;
    let count = match first.as_rule() {
        Rule::note => return of_token(first),
        Rule::one_note => 1,
        _ => amount(first)?,
    };
    let count = Some(count).filter(|n| (1..=MOST_IN_A_ROW).contains(n))?;
    Some(of_token(parts.next()?)? * i64::try_from(count).ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_of_the_guide() {
        for (text, numerator, denominator) in [
            ("quarter", 1, 4),
            ("Quarters", 1, 4),
            ("dotted quarter", 3, 8),
            ("dotted-minim", 3, 4),
            ("1/8", 1, 8),
            ("3 / 8", 3, 8),
            ("half note", 1, 2),
            ("hemidemisemiquaver", 1, 64),
            ("thirty-second", 1, 32),
        ] {
            assert_eq!(note(text), Some(Time::new(numerator, denominator)), "{text}");
        }
        for text in
            ["", "quart", "1/3", "0/4", "65/64", "triplet-eighth", "3 eighths", "quarter  note"]
        {
            assert_eq!(note(text), None, "{text}");
        }
    }

    #[test]
    fn a_triplet_is_a_third_of_two() {
        assert_eq!(modulated("triplet-eighth"), Some(Time::new(1, 12)));
        assert_eq!(modulated("triplet quarter"), Some(Time::new(1, 6)));
        assert_eq!(modulated("dotted eighth"), Some(Time::new(3, 16)));
        assert_eq!(modulated("triplet dotted eighth"), None);
    }
}
