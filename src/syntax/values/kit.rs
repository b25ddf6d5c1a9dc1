//! What a row of a `kit` block says of its letter.

use super::number::figures;
use crate::score::kit::{Head, Limb, Opening};
use crate::source::nearest;
use crate::syntax::grammar::{Rule, Token, value_tokens};
use std::ops::RangeInclusive;

/// Places above and below the staff that can be asked for.
const MOST_OFF_STAFF: u8 = 10;
/// The General MIDI percussion map and the keys its second level adds to it.
const SOUNDS: RangeInclusive<u8> = 27..=87;

/// Heads by name.
const HEADS: [(&str, Head); 8] = [
    ("normal", Head::Normal),
    ("x", Head::X),
    ("circled-x", Head::CircledX),
    ("diamond", Head::Diamond),
    ("triangle", Head::Triangle),
    ("slash", Head::Slash),
    ("square", Head::Square),
    ("plus", Head::Plus),
];

/// The other words of a row, offered when one is misspelt.
const OTHER_WORDS: [&str; 10] =
    ["line", "space", "above", "below", "hands", "feet", "sound", "open", "half-open", "closed"];

/// One thing a row says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KitAttribute {
    /// The place on the staff in steps up from the middle line, -14 to 14.
    Position(i32),
    /// The General MIDI percussion key, 27 to 87.
    Sound(u8),
    /// The form of the head.
    Head(Head),
    /// The limbs that play it.
    Limb(Limb),
    /// The sign over its notes.
    Opening(Opening),
}

/// Why it says nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrongAttribute {
    /// Several things without commas between them.
    Joined,
    /// A word that wants a number of a range.
    Range {
        /// The word.
        word: &'static str,
        /// What its number may be.
        range: RangeInclusive<u8>,
    },
    /// There is no such word; the one that was most likely meant.
    Unknown(Option<String>),
}

impl KitAttribute {
    /// Reads `line 4`, `space 2`, `above 1`, `below 1`, `x`, `head x`, `feet`, `sound 38`,
    /// `half-open`.
    ///
    /// # Errors
    /// Where it says nothing a kit knows.
    pub fn read(text: &str) -> Result<Self, WrongAttribute> {
        let mut words = value_tokens(Rule::words_value, text).into_iter().flatten();
        let (first, second) = (words.next(), words.next());
        if words.next().is_some() {
            return Err(WrongAttribute::Joined);
        }
        let mut tokens = value_tokens(Rule::kit_value, text).into_iter().flatten();
        if let Some(token) = tokens.next() {
            return said(token);
        }
        let first = first.map_or("", |word| word.as_str()).to_lowercase();
        let word = match second {
            Some(word) if first == "head" => word.as_str().to_lowercase(),
            Some(_) => return Err(WrongAttribute::Joined),
            None => first,
        };
        let known = head_names().chain(OTHER_WORDS);
        Err(WrongAttribute::Unknown(nearest(&word, known)))
    }
}

/// The names of the heads.
pub fn head_names() -> impl Iterator<Item = &'static str> {
    HEADS.iter().map(|(name, _)| *name)
}

fn said(token: Token<'_>) -> Result<KitAttribute, WrongAttribute> {
    let word = token.as_str().to_lowercase();
    Ok(match token.as_rule() {
        Rule::kit_figured => return figured(token),
        Rule::kit_limb if word == "feet" => KitAttribute::Limb(Limb::Feet),
        Rule::kit_limb => KitAttribute::Limb(Limb::Hands),
        Rule::kit_opening => KitAttribute::Opening(match word.as_str() {
            "open" => Opening::Open,
            "closed" => Opening::Closed,
            _ => Opening::Half,
        }),
        _ => {
            let head = HEADS.iter().find(|(name, _)| *name == word);
            KitAttribute::Head(head.map_or(Head::Normal, |(_, head)| *head))
        }
    })
}

/// A word with its number.
fn figured(token: Token<'_>) -> Result<KitAttribute, WrongAttribute> {
    let mut parts = token.into_inner();
    let what = parts.next().map(|word| word.as_rule());
    let (word, range) = match what {
        Some(Rule::kit_line) => ("line", 1..=5),
        Some(Rule::kit_space) => ("space", 1..=4),
        Some(Rule::kit_above) => ("above", 1..=MOST_OFF_STAFF),
        Some(Rule::kit_below) => ("below", 1..=MOST_OFF_STAFF),
        _ => ("sound", SOUNDS),
    };
    let number: Option<u8> = parts.next().and_then(|figure| figures(&figure));
    let Some(number) = number.filter(|n| range.contains(n)) else {
        return Err(WrongAttribute::Range { word, range });
    };
    let steps = i32::from(number);
    Ok(match what {
        Some(Rule::kit_line) => KitAttribute::Position(2 * steps - 6),
        Some(Rule::kit_space) => KitAttribute::Position(2 * steps - 5),
        Some(Rule::kit_above) => KitAttribute::Position(4 + steps),
        Some(Rule::kit_below) => KitAttribute::Position(-4 - steps),
        _ => KitAttribute::Sound(number),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_row_may_say() {
        let read = KitAttribute::read;
        assert_eq!(read("line 3"), Ok(KitAttribute::Position(0)));
        assert_eq!(read("Space 2"), Ok(KitAttribute::Position(-1)));
        assert_eq!(read("above 1"), Ok(KitAttribute::Position(5)));
        assert_eq!(read("below  10"), Ok(KitAttribute::Position(-14)));
        assert_eq!(read("sound 54"), Ok(KitAttribute::Sound(54)));
        assert_eq!(read("head x"), Ok(KitAttribute::Head(Head::X)));
        assert_eq!(read("circled-x"), Ok(KitAttribute::Head(Head::CircledX)));
        assert_eq!(read("feet"), Ok(KitAttribute::Limb(Limb::Feet)));
        assert_eq!(read("half-open"), Ok(KitAttribute::Opening(Opening::Half)));
    }

    #[test]
    fn every_head_is_a_word_of_the_grammar() {
        for (name, head) in HEADS {
            assert_eq!(KitAttribute::read(name), Ok(KitAttribute::Head(head)));
        }
    }

    #[test]
    fn what_says_nothing() {
        let read = KitAttribute::read;
        assert_eq!(read("line 4 x"), Err(WrongAttribute::Joined));
        assert_eq!(read("x feet"), Err(WrongAttribute::Joined));
        assert_eq!(read("line"), Err(WrongAttribute::Range { word: "line", range: 1..=5 }));
        assert_eq!(read("sound 20"), Err(WrongAttribute::Range { word: "sound", range: SOUNDS }));
        assert_eq!(read("diamnod"), Err(WrongAttribute::Unknown(Some("diamond".into()))));
        assert_eq!(read("purple"), Err(WrongAttribute::Unknown(None)));
    }
}
