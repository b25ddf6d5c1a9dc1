//! The lines of a series.

use super::number::{amount, figures};
use super::stick::hand;
use super::strokes::{drums, is_arrangement};
use super::subdivision::Subdivision;
use super::tempo::WrittenTempo;
use super::{cells, list};
use crate::score::Hand;
use crate::syntax::Piece;
use crate::syntax::grammar::{Rule, Token, is_value, one_token, value_tokens};
use crate::syntax::tree::{CellGroup, CellKind, Word};

/// Most places of a pattern.
const MOST_PLACES: usize = 32;
/// Most patterns of a list of hands or feet.
const MOST_LISTED: usize = 100;
/// Most exercises that may be asked for.
const MOST_EXERCISES: usize = 2_000;
/// How often a hand plays running, where nothing is said.
const RUN: usize = 2;

/// How many places there are, and how many of them to a beat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PatternPlaces {
    /// Places in all, 1 to 32; a whole number of beats, but for notes of a plain value.
    pub count: usize,
    /// Places of a beat of a quarter, 1 to 8.
    pub parts: usize,
    /// The subdivision that is named.
    pub named: Option<Subdivision>,
}

/// A pattern of a list of hands or feet.
#[derive(Clone, Debug)]
pub struct ListedPattern {
    /// As written.
    pub text: Word,
    /// Its groups; nothing where they can't be read as cells.
    pub groups: Option<Vec<CellGroup>>,
}

/// The order of a series.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeriesOrder {
    /// As they are found.
    Written,
    /// One note or accent moves at a time.
    Neighbours,
    /// The easy ones first.
    Easy,
}

/// One line of a series.
#[derive(Clone, Debug)]
pub enum SeriesLine {
    /// All places of so many accents on these groups, which are silences and plain hits of one
    /// drum each, from 1 to 32 hits and as many as accents.
    Accents {
        /// Accents, 0 or more.
        count: usize,
        /// The groups.
        groups: Vec<CellGroup>,
    },
    /// All ways to play so many of some cells.
    Notes {
        /// Notes, from 1 up to the number of places.
        count: usize,
        /// The cells.
        places: PatternPlaces,
        /// What is struck; the snare where nothing is said.
        drums: Option<Vec<Word>>,
    },
    /// All stickings of so many notes.
    Stickings {
        /// The notes.
        places: PatternPlaces,
        /// The hand that leads: right or left.
        first: Hand,
        /// How often a hand may play running, at least 1.
        run: usize,
    },
    /// A block begun on each of its notes.
    Turns,
    /// Patterns of the hands, 1 to 100.
    Hands(Vec<ListedPattern>),
    /// Patterns of the feet, 1 to 100.
    Feet(Vec<ListedPattern>),
    /// The order.
    Order(SeriesOrder),
    /// Only the first so many, 1 to 2000.
    AtMost(usize),
    /// Without what is an earlier exercise begun elsewhere.
    OnceRound,
    /// Without what can't be played, at this tempo as written or else at the one in force.
    Playable(Option<(WrittenTempo, Word)>),
}

/// Which line of a series can't be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WrongSeries {
    /// `accents: ... of ...`
    Accents,
    /// `notes`
    Notes,
    /// `stickings`
    Stickings,
    /// `turns`
    Turns,
    /// `hands` or `feet`
    Patterns,
    /// `at-most`
    AtMost,
    /// `turnings`
    Turnings,
    /// `playable`
    Playable,
}

impl SeriesLine {
    /// Reads one line by its key in small letters; nothing where it is none of a series alone: it
    /// may be one of a variation.
    pub fn read(key: &str, value: Piece<'_>) -> Option<Result<Self, WrongSeries>> {
        let value = value.trimmed();
        let text = value.text;
        Some(match key {
            "accents" if is_arrangement(text) => arrangement(value).ok_or(WrongSeries::Accents),
            "notes" => notes(value).ok_or(WrongSeries::Notes),
            "stickings" => stickings(text).ok_or(WrongSeries::Stickings),
            "turns" if is_value(Rule::yes_value, text) => Ok(Self::Turns),
            "turns" => Err(WrongSeries::Turns),
            "turnings" if is_value(Rule::once_value, text) => Ok(Self::OnceRound),
            "turnings" => Err(WrongSeries::Turnings),
            "playable" => playable(value).map(Self::Playable).ok_or(WrongSeries::Playable),
            "hands" => patterns(value).map(Self::Hands).ok_or(WrongSeries::Patterns),
            "feet" => patterns(value).map(Self::Feet).ok_or(WrongSeries::Patterns),
            "order" => Ok(Self::Order(order(text)?)),
            "at-most" => {
                let number = one_token(Rule::at_most_value, text).and_then(|n| figures(&n));
                let number = number.filter(|n| (1..=MOST_EXERCISES).contains(n));
                number.map(Self::AtMost).ok_or(WrongSeries::AtMost)
            }
            _ => return None,
        })
    }
}

fn arrangement(value: Piece<'_>) -> Option<SeriesLine> {
    let mut tokens = value_tokens(Rule::arrangement_value, value.text)?;
    let count = amount(tokens.next()?)?;
    let mut groups = Vec::new();
    for token in tokens {
        groups.push(cells::group(value.part(&token))?);
    }
    let of_group = |group: &CellGroup| {
        group.cells.iter().filter(|cell| matches!(cell.kind, CellKind::Hit(_))).count()
    };
    let hits: usize = groups.iter().map(of_group).sum();
    let fits = (1..=MOST_PLACES).contains(&hits) && count <= hits;
    fits.then_some(SeriesLine::Accents { count, groups })
}

fn notes(value: Piece<'_>) -> Option<SeriesLine> {
    let mut tokens = value_tokens(Rule::places_value, value.text)?;
    let count = amount(tokens.next()?)?;
    let places = places(tokens.next()?)?;
    let drums = tokens.next().map(|token| drums(value.part(&token)));
    let fits = (1..=places.count).contains(&count);
    fits.then_some(SeriesLine::Notes { count, places, drums })
}

fn stickings(text: &str) -> Option<SeriesLine> {
    let mut tokens = value_tokens(Rule::stickings_value, text)?;
    let places = places(tokens.next()?)?;
    let (mut first, mut run) = (Hand::Right, RUN);
    for token in tokens {
        let rule = token.as_rule();
        let inner = token.into_inner().next()?;
        if rule == Rule::stickings_lead {
            first = hand(inner.as_rule());
        } else {
            run = amount(inner).filter(|n| *n > 0)?;
        }
    }
    Some(SeriesLine::Stickings { places, first, run })
}

/// `8 sixteenths`, `4`, `6 notes`.
fn places(token: Token<'_>) -> Option<PatternPlaces> {
    let mut tokens = token.into_inner();
    let count = amount(tokens.next()?).filter(|n| (1..=MOST_PLACES).contains(n))?;
    let named = tokens.next().and_then(|name| Subdivision::of_token(&name));
    let parts = match named {
        Some(named) => usize::from(named.parts()),
        None if count % 4 == 0 => 4,
        None if count <= 8 => count,
        None if count % 3 == 0 => 3,
        None => return None,
    };
    let plain = named.is_some_and(|named| named.value().is_some());
    (plain || count % parts == 0).then_some(PatternPlaces { count, parts, named })
}

fn patterns(value: Piece<'_>) -> Option<Vec<ListedPattern>> {
    let parts = list::parts(value);
    if parts.len() > MOST_LISTED || parts.iter().any(|part| part.text.is_empty()) {
        return None;
    }
    let pattern = |part: Piece<'_>| ListedPattern {
        text: Word::new(part.text.to_owned(), part.span()),
        groups: cells::groups(part),
    };
    Some(parts.into_iter().map(pattern).collect())
}

fn order(text: &str) -> Option<SeriesOrder> {
    Some(match one_token(Rule::sorting_value, text)?.as_rule() {
        Rule::sort_neighbours => SeriesOrder::Neighbours,
        Rule::sort_easy => SeriesOrder::Easy,
        _ => SeriesOrder::Written,
    })
}

fn playable(value: Piece<'_>) -> Option<Option<(WrittenTempo, Word)>> {
    let Some(at) = value_tokens(Rule::playable_value, value.text)?.next() else {
        return Some(None);
    };
    let at = value.part(&at).trimmed();
    let tempo = WrittenTempo::read(at.text)?;
    Some(Some((tempo, Word::new(at.text.to_owned(), at.span()))))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(key: &str, text: &str) -> Option<Result<SeriesLine, WrongSeries>> {
        SeriesLine::read(key, Piece { text, start: 0 })
    }

    fn places_of(key: &str, text: &str) -> Option<(usize, usize)> {
        match read(key, text)?.ok()? {
            SeriesLine::Notes { places, .. } | SeriesLine::Stickings { places, .. } => {
                Some((places.count, places.parts))
            }
            _ => None,
        }
    }

    #[test]
    fn rules_of_the_guide() {
        assert!(matches!(
            read("accents", "2 of ssss"),
            Some(Ok(SeriesLine::Accents { count: 2, groups })) if groups.len() == 1
        ));
        assert_eq!(places_of("notes", "3 of 8 sixteenths on kick"), Some((8, 4)));
        assert_eq!(places_of("notes", "3 of 4"), Some((4, 4)));
        assert_eq!(places_of("notes", "three of six notes"), Some((6, 6)));
        assert_eq!(places_of("notes", "3 of 9 notes"), Some((9, 3)));
        assert!(matches!(
            read("stickings", "8 sixteenths, lead left, at most 3 in a row"),
            Some(Ok(SeriesLine::Stickings { first: Hand::Left, run: 3, .. }))
        ));
        assert!(matches!(
            read("hands", "ssss, s.ss, sss."),
            Some(Ok(SeriesLine::Hands(list))) if list.len() == 3 && list[1].groups.is_some()
        ));
        assert!(matches!(read("order", "easy"), Some(Ok(SeriesLine::Order(SeriesOrder::Easy)))));
        assert!(matches!(read("at-most", "20 exercises"), Some(Ok(SeriesLine::AtMost(20)))));
        assert!(matches!(read("turnings", "once"), Some(Ok(SeriesLine::OnceRound))));
        assert!(matches!(read("turns", "yes"), Some(Ok(SeriesLine::Turns))));
        assert!(matches!(read("playable", "at 120"), Some(Ok(SeriesLine::Playable(Some(_))))));
        assert!(matches!(read("playable", "yes"), Some(Ok(SeriesLine::Playable(None)))));
    }

    #[test]
    fn what_is_none() {
        for (key, text) in [
            ("accents", "5 of ssss"),
            ("accents", "2 of ...."),
            ("accents", "2 of Ssss"),
            ("notes", "5 of 4"),
            ("notes", "0 of 4"),
            ("notes", "3 of 33"),
            ("notes", "3 of 8 triplets"),
            ("stickings", "10 notes"),
            ("stickings", "8, lead both"),
            ("stickings", "8, at most 0 in a row"),
            ("hands", "ss,,ss"),
            ("at-most", "2001"),
            ("playable", "at fast"),
            ("turns", "no"),
        ] {
            assert!(matches!(read(key, text), Some(Err(_))), "{key}: {text}");
        }
        assert!(read("order", "snare tom1").is_none() && read("accents", "drop").is_none());
    }
}
