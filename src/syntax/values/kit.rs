//! What a row of a `kit` block says of its letter.

use super::number::figures;
use crate::score::kit::{Family, Head, Limb, Opening, Spot, StemSign};
use crate::source::nearest;
use crate::syntax::grammar::{Rule, Token, one_token, value_tokens};
use std::mem::discriminant;
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

/// Kinds by name.
const FAMILIES: [(&str, Family); 6] = [
    ("kick", Family::Kick),
    ("snare", Family::Snare),
    ("tom", Family::Tom),
    ("hi-hat", Family::HiHat),
    ("cymbal", Family::Cymbal),
    ("percussion", Family::Percussion),
];

/// Signs on the stem by name.
const STEM_SIGNS: [(&str, StemSign); 3] = [
    ("rim-shot", StemSign::RimShot),
    ("dead-stroke", StemSign::DeadStroke),
    ("sweep", StemSign::Sweep),
];

/// The other words of a row, offered when one is misspelt.
const OTHER_WORDS: [&str; 17] = [
    "line",
    "space",
    "above",
    "below",
    "hands",
    "feet",
    "sound",
    "open",
    "half-open",
    "closed",
    "crash",
    "no crash",
    "rings",
    "dry",
    "stands",
    "called",
    "also",
];

/// Farthest that an instrument stands from the player, in centimetres to a side, ahead or behind.
const FARTHEST: u16 = 300;

/// One thing a row says.
#[derive(Clone, Debug, PartialEq, Eq)]
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
    /// The sign on the stems of its notes.
    OnStem(StemSign),
    /// Its kind.
    Family(Family),
    /// Whether it is a cymbal that is crashed.
    Crash(bool),
    /// Whether it goes on sounding after the stroke.
    Rings(bool),
    /// Where it stands, up to 300 centimetres in each direction.
    Spot(Spot),
    /// What it is called in print and aloud, with single spaces.
    Called(String),
    /// Another name of its row.
    Also(String),
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
    /// `stands` without a place that can be read.
    Stands,
    /// `called` or `also` without a name.
    Nameless {
        /// The word.
        word: &'static str,
    },
    /// There is no such word; the one that was most likely meant.
    Unknown(Option<String>),
}

impl KitAttribute {
    /// Reads what stands between two commas, as `line 4`, `x`, `head x`, `feet`, `sound 38`,
    /// `half-open`, `a cymbal`, `no crash`, `dry`, `stands 40 left 60 ahead`, `called big gong` or
    /// `also tam-tam`.
    ///
    /// # Errors
    /// Where it says nothing a kit knows.
    pub fn read(text: &str) -> Result<Self, WrongAttribute> {
        match one_token(Rule::kit_value, text) {
            Some(token) => said(token),
            None => Err(wrong(text)),
        }
    }

    /// Whether a row can say only one of two: each thing but another name once, and of a crash only
    /// that it is a cymbal.
    #[must_use]
    pub fn excludes(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Also(_), Self::Also(_)) => false,
            (Self::Crash(true), Self::Family(family))
            | (Self::Family(family), Self::Crash(true)) => *family != Family::Cymbal,
            _ => discriminant(self) == discriminant(other),
        }
    }
}

fn wrong(text: &str) -> WrongAttribute {
    let words: Vec<String> = value_tokens(Rule::words_value, text)
        .into_iter()
        .flatten()
        .map(|word| word.as_str().to_lowercase())
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let phrase = match words.as_slice() {
        ["stands", ..] => return WrongAttribute::Stands,
        ["called", ..] => return WrongAttribute::Nameless { word: "called" },
        ["also", ..] => return WrongAttribute::Nameless { word: "also" },
        ["head" | "a", word] => (*word).to_owned(),
        ["no", _] => words.join(" "),
        [] => String::new(),
        [word] => (*word).to_owned(),
        [_, _, ..] => return WrongAttribute::Joined,
    };
    let known = head_names().chain(family_names()).chain(stem_sign_names()).chain(OTHER_WORDS);
    WrongAttribute::Unknown(nearest(&phrase, known))
}

/// The names of the heads.
pub fn head_names() -> impl Iterator<Item = &'static str> {
    HEADS.iter().map(|(name, _)| *name)
}

/// The names of the kinds.
pub fn family_names() -> impl Iterator<Item = &'static str> {
    FAMILIES.iter().map(|(name, _)| *name)
}

/// The signs on a stem that can be asked for.
fn stem_sign_names() -> impl Iterator<Item = &'static str> {
    STEM_SIGNS.iter().map(|(name, _)| *name)
}

fn said(token: Token<'_>) -> Result<KitAttribute, WrongAttribute> {
    let word = token.as_str().to_lowercase();
    let rule = token.as_rule();
    Ok(match rule {
        Rule::kit_figured => return figured(token),
        Rule::kit_stands => return stands(token),
        Rule::kit_limb if word == "feet" => KitAttribute::Limb(Limb::Feet),
        Rule::kit_limb => KitAttribute::Limb(Limb::Hands),
        Rule::kit_opening => KitAttribute::Opening(match word.as_str() {
            "open" => Opening::Open,
            "closed" => Opening::Closed,
            _ => Opening::Half,
        }),
        Rule::kit_on_stem => {
            let sign = STEM_SIGNS.iter().find(|(name, _)| *name == word);
            KitAttribute::OnStem(sign.map_or(StemSign::RimShot, |(_, sign)| *sign))
        }
        Rule::kit_family => {
            let family = FAMILIES.iter().find(|(name, _)| *name == word);
            KitAttribute::Family(family.map_or(Family::Percussion, |(_, family)| *family))
        }
        Rule::kit_crash | Rule::kit_no_crash => KitAttribute::Crash(rule == Rule::kit_crash),
        Rule::kit_rings | Rule::kit_dry => KitAttribute::Rings(rule == Rule::kit_rings),
        Rule::kit_called => {
            let words = token.into_inner().as_str().split_whitespace();
            KitAttribute::Called(words.collect::<Vec<_>>().join(" "))
        }
        Rule::kit_also => KitAttribute::Also(token.into_inner().as_str().to_owned()),
        _ => {
            let head = HEADS.iter().find(|(name, _)| *name == word);
            KitAttribute::Head(head.map_or(Head::Normal, |(_, head)| *head))
        }
    })
}

/// `stands 40 left 60 ahead`, of which either part may be left out.
fn stands(token: Token<'_>) -> Result<KitAttribute, WrongAttribute> {
    let mut spot = Spot::default();
    for part in token.into_inner() {
        let mut words = part.into_inner();
        let far: Option<u16> = words.next().and_then(|figure| figures(&figure));
        let far = far.filter(|far| *far <= FARTHEST).ok_or(WrongAttribute::Stands)?;
        let far = i32::from(far);
        match words.next().map(|way| way.as_rule()) {
            Some(Rule::right_side) => spot.right = far,
            Some(Rule::left_side) => spot.right = -far,
            Some(Rule::kit_behind) => spot.ahead = -far,
            _ => spot.ahead = far,
        }
    }
    Ok(KitAttribute::Spot(spot))
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
    fn what_it_is_and_where_it_stands() {
        let read = KitAttribute::read;
        assert_eq!(read("a cymbal"), Ok(KitAttribute::Family(Family::Cymbal)));
        assert_eq!(read("a Crash"), Ok(KitAttribute::Crash(true)));
        assert_eq!(read("no crash"), Ok(KitAttribute::Crash(false)));
        assert_eq!(read("rings"), Ok(KitAttribute::Rings(true)));
        assert_eq!(read("dry"), Ok(KitAttribute::Rings(false)));
        let spot = |right, ahead| Ok(KitAttribute::Spot(Spot { right, ahead }));
        assert_eq!(read("stands 40 left 60 ahead"), spot(-40, 60));
        assert_eq!(read("stands 40cm right"), spot(40, 0));
        assert_eq!(read("stands 300 cm behind"), spot(0, -300));
        assert_eq!(read("called  Big  gong"), Ok(KitAttribute::Called("Big gong".into())));
        assert_eq!(read("also tam-tam"), Ok(KitAttribute::Also("tam-tam".into())));
    }

    #[test]
    fn every_head_and_kind_is_a_word_of_the_grammar() {
        for (name, head) in HEADS {
            assert_eq!(KitAttribute::read(name), Ok(KitAttribute::Head(head)));
        }
        for (name, sign) in STEM_SIGNS {
            assert_eq!(KitAttribute::read(name), Ok(KitAttribute::OnStem(sign)));
        }
        for (name, family) in FAMILIES {
            assert_eq!(KitAttribute::read(name), Ok(KitAttribute::Family(family)));
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
        assert_eq!(read("a cymball"), Err(WrongAttribute::Unknown(Some("cymbal".into()))));
        assert_eq!(read("no crsh"), Err(WrongAttribute::Unknown(Some("no crash".into()))));
        for text in
            ["stands", "stands left", "stands 40", "stands 301 left", "stands 9 left 9 right"]
        {
            assert_eq!(read(text), Err(WrongAttribute::Stands));
        }
        assert_eq!(read("called"), Err(WrongAttribute::Nameless { word: "called" }));
        assert_eq!(read("also big gong"), Err(WrongAttribute::Nameless { word: "also" }));
    }
}
