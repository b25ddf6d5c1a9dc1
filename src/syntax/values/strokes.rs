//! Drums, taps, accents and the order of drums in the lines of a variation.

use super::number::{amount, figures};
use crate::score::Hand;
use crate::syntax::Piece;
use crate::syntax::grammar::{Rule, Token, is_value, one_token, value_tokens};
use crate::syntax::tree::Word;

/// Most notes from one accent to the next.
const MOST: usize = 64;

/// Grace notes by name: a flam has 1, a drag 2, a ruff 3.
pub(super) fn grace(rule: Rule) -> Option<u8> {
    match rule {
        Rule::flam_name => Some(1),
        Rule::drag_name => Some(2),
        Rule::ruff_name => Some(3),
        _ => None,
    }
}

/// Drums and cymbals by name or letter, joined by spaces, commas, `with`, `and`, `then` or `+`; which
/// a kit has is not known yet, and there may be none.
pub fn drums(piece: Piece<'_>) -> Vec<Word> {
    let names = piece.tokens(Rule::drums_value);
    names.map(|name| Word::new(name.as_str().to_owned(), piece.span_of(&name))).collect()
}

/// What becomes of the taps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TapsLine {
    /// Two notes each.
    Diddle,
    /// In brackets.
    Ghost,
    /// With 1 to 3 grace notes.
    Grace(u8),
    /// They fall away.
    Drop,
    /// They go to these drums.
    To(Vec<Word>),
}

impl TapsLine {
    /// Reads `diddle`, `ghosts`, `flam`, `drop`, or drums.
    pub fn read(piece: Piece<'_>) -> Self {
        let Some(token) = one_token(Rule::taps_value, piece.text) else {
            return Self::To(drums(piece));
        };
        match (token.as_rule(), grace(token.as_rule())) {
            (_, Some(notes)) => Self::Grace(notes),
            (Rule::diddle, _) => Self::Diddle,
            (Rule::taps_ghost, _) => Self::Ghost,
            _ => Self::Drop,
        }
    }
}

/// A place to be accented, named as in a count row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AccentPlace {
    /// A syllable, or the number of a beat.
    Word(Word),
    /// A syllable, or the number of a note of a group, in the beat of this number.
    Of(Word, u32),
    /// Words that share a beat; `.` is a part of it without an accent.
    Division(Vec<Word>),
}

/// What becomes of the accents.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AccentsLine {
    /// None stays.
    Drop,
    /// Nothing else stays.
    Only,
    /// They take 1 to 3 grace notes.
    Grace(u8),
    /// They stand at these places; at least one.
    On(Vec<AccentPlace>),
    /// They stand on the first note and then on each of so many notes, 1 to 64.
    Every(usize),
    /// They go to these drums.
    To(Vec<Word>),
}

/// Why a line of accents can't be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WrongAccents {
    /// A word that is no count.
    Count(Word),
    /// `on` without a count.
    CountMissing,
    /// `every` without a number of notes.
    Every,
}

impl AccentsLine {
    /// Reads `drop`, `only`, `flam`, `on 1 & a 3`, `every 3 notes`, or drums.
    ///
    /// # Errors
    /// Where what follows `on` or `every` can't be read.
    pub fn read(piece: Piece<'_>) -> Result<Self, WrongAccents> {
        let piece = piece.trimmed();
        let Some(mut tokens) = value_tokens(Rule::accents_value, piece.text) else {
            return Ok(Self::To(drums(piece)));
        };
        let first = tokens.next().map(|token| token.as_rule());
        if let Some(notes) = first.and_then(grace) {
            return Ok(Self::Grace(notes));
        }
        match first {
            Some(Rule::accents_drop) => Ok(Self::Drop),
            Some(Rule::accents_only) => Ok(Self::Only),
            Some(Rule::accents_every) => {
                let number = tokens.next().filter(|t| t.as_rule() == Rule::amount).and_then(amount);
                let number = number.filter(|n| (1..=MOST).contains(n));
                number.map(Self::Every).ok_or(WrongAccents::Every)
            }
            _ => {
                let places: Vec<_> =
                    tokens.map(|token| place(piece, token)).collect::<Result<_, _>>()?;
                if places.is_empty() {
                    return Err(WrongAccents::CountMissing);
                }
                Ok(Self::On(places))
            }
        }
    }
}

/// A place named as in a count row.
pub(super) fn place(piece: Piece<'_>, token: Token<'_>) -> Result<AccentPlace, WrongAccents> {
    let word = |token: &Token<'_>| Word::new(token.as_str().to_owned(), piece.span_of(token));
    match token.as_rule() {
        Rule::place_word => Ok(AccentPlace::Word(word(&token))),
        Rule::accents_division => {
            Ok(AccentPlace::Division(token.into_inner().map(|part| word(&part)).collect()))
        }
        Rule::accents_of => {
            let whole = word(&token);
            let mut parts = token.into_inner();
            let said = parts.next().map(|part| word(&part));
            let beat = parts.next().and_then(|number| figures(&number));
            said.zip(beat)
                .map(|(said, beat)| AccentPlace::Of(said, beat))
                .ok_or(WrongAccents::Count(whole))
        }
        _ => Err(WrongAccents::Count(word(&token))),
    }
}

/// When the hands go on to the next drum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OrderStep {
    /// At each beat.
    Beat,
    /// At each note.
    Note,
    /// At each accent.
    Accent,
}

/// Drums that are gone round.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// The drums in order.
    pub drums: Vec<Word>,
    /// When the next is taken; nothing where the word after `by` is unknown.
    pub step: Option<OrderStep>,
}

impl OrderLine {
    /// Reads `snare tom1 floor`, `snare tom1 by note`.
    pub fn read(piece: Piece<'_>) -> Self {
        let piece = piece.trimmed();
        let Some(mut tokens) = value_tokens(Rule::order_value, piece.text) else {
            return Self { drums: drums(piece), step: Some(OrderStep::Beat) };
        };
        let named = tokens.next().map_or_else(Vec::new, |token| drums(piece.part(&token)));
        let step = match tokens.next().map(|token| token.as_rule()) {
            Some(Rule::step_note) => Some(OrderStep::Note),
            Some(Rule::step_beat) => Some(OrderStep::Beat),
            Some(Rule::step_accent) => Some(OrderStep::Accent),
            _ => None,
        };
        Self { drums: named, step }
    }
}

/// Whether a line of accents is one of a series, as `2 of ssss`.
pub(super) fn is_arrangement(text: &str) -> bool {
    is_value(Rule::of_value, text)
}

/// What goes to other drums.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MoveLine {
    /// What plays it.
    pub from: MovedFrom,
    /// Where it goes.
    pub to: Vec<Word>,
}

/// What a line moves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MovedFrom {
    /// What one hand plays.
    Hand(Hand),
    /// What is played on these drums.
    Drums(Vec<Word>),
}

impl MoveLine {
    /// Reads `hat to ride`, `right to kick`; nothing where it does not say both.
    pub fn read(piece: Piece<'_>) -> Option<Self> {
        let piece = piece.trimmed();
        let mut tokens = value_tokens(Rule::move_value, piece.text)?;
        let first = tokens.next()?;
        let from = match first.as_rule() {
            Rule::move_side => match first.into_inner().next()?.as_rule() {
                Rule::left_side => MovedFrom::Hand(Hand::Left),
                _ => MovedFrom::Hand(Hand::Right),
            },
            _ => MovedFrom::Drums(drums(piece.part(&first))),
        };
        Some(Self { from, to: drums(piece.part(&tokens.next()?)) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(text: &str) -> Piece<'_> {
        Piece { text, start: 10 }
    }

    fn names(drums: &[Word]) -> Vec<&str> {
        drums.iter().map(|drum| drum.value.as_str()).collect()
    }

    #[test]
    fn drums_and_what_joins_them() {
        let found = drums(piece("crash with kick, tom1+floor then andy"));
        assert_eq!(names(&found), ["crash", "kick", "tom1", "floor", "andy"]);
        assert_eq!((found[1].span.start(), found[1].span.end()), (21, 25));
        assert!(drums(piece(" and , ")).is_empty());
    }

    #[test]
    fn taps_of_the_guide() {
        assert_eq!(TapsLine::read(piece("diddles")), TapsLine::Diddle);
        assert_eq!(TapsLine::read(piece("ghost")), TapsLine::Ghost);
        assert_eq!(TapsLine::read(piece("drag")), TapsLine::Grace(2));
        assert_eq!(TapsLine::read(piece("drop")), TapsLine::Drop);
        assert!(matches!(TapsLine::read(piece("hat")), TapsLine::To(_)));
    }

    #[test]
    fn accents_of_the_guide() {
        let read = |text| AccentsLine::read(piece(text));
        let Ok(AccentsLine::On(places)) = read("on 1 & e of 2 (3 . x)") else { panic!("places") };
        let words = |words: &[Word]| words.iter().map(|w| w.value.clone()).collect::<Vec<_>>();
        let told = places.iter().map(|place| match place {
            AccentPlace::Word(word) => word.value.clone(),
            AccentPlace::Of(word, beat) => format!("{} of {beat}", word.value),
            AccentPlace::Division(own) => format!("({})", words(own).join(" ")),
        });
        assert_eq!(told.collect::<Vec<_>>(), ["1", "&", "e of 2", "(3 . x)"]);
        assert!(matches!(places.get(2), Some(AccentPlace::Of(e, 2)) if e.span.start() == 17));
        assert!(matches!(read("on &"), Ok(AccentsLine::On(places)) if places.len() == 1));
        assert_eq!(read("every 3 notes"), Ok(AccentsLine::Every(3)));
        assert_eq!(read("every three"), Ok(AccentsLine::Every(3)));
        assert_eq!(read("drop"), Ok(AccentsLine::Drop));
        assert_eq!(read("only"), Ok(AccentsLine::Only));
        assert_eq!(read("drag"), Ok(AccentsLine::Grace(2)));
        assert!(matches!(read("crash with kick"), Ok(AccentsLine::To(drums)) if drums.len() == 2));
    }

    #[test]
    fn accents_that_cannot_be_read() {
        let read = |text| AccentsLine::read(piece(text));
        assert!(
            matches!(read("on 1 )"), Err(WrongAccents::Count(word)) if word.span.start() == 15)
        );
        assert!(matches!(read("on (1 2"), Err(WrongAccents::Count(_))));
        assert!(matches!(read("on e of 9999999999"), Err(WrongAccents::Count(_))));
        assert_eq!(read("every other"), Err(WrongAccents::Every));
        assert_eq!(read("every 65"), Err(WrongAccents::Every));
    }

    #[test]
    fn what_is_moved_and_where_to() {
        let read = |text| MoveLine::read(piece(text));
        let Some(MoveLine { from: MovedFrom::Drums(from), to }) = read("hat open-hat to ride")
        else {
            panic!("drums")
        };
        assert_eq!((names(&from), names(&to)), (vec!["hat", "open-hat"], vec!["ride"]));
        assert!(
            matches!(read("left to kick"), Some(line) if line.from == MovedFrom::Hand(Hand::Left))
        );
        assert!(read("right to").is_none());
        assert_eq!(read("hat ride"), None);
    }

    #[test]
    fn the_last_by_counts() {
        let order = |text| OrderLine::read(piece(text));
        assert_eq!(order("snare tom1 by notes").step, Some(OrderStep::Note));
        assert_eq!(names(&order("snare by tom1 by beat").drums), ["snare", "by", "tom1"]);
        assert_eq!(order("snare by ear").step, None);
        assert_eq!(order("snare tom1").step, Some(OrderStep::Beat));
    }
}
