//! What a context plays.

use super::number::{amount, figures};
use super::strokes::{AccentPlace, drums, place};
use crate::source::Span;
use crate::syntax::Piece;
use crate::syntax::grammar::{Rule, Token, value_tokens};
use crate::syntax::tree::Word;

/// Most times that a block is played running.
const MOST_TIMES: usize = 99;

/// A block that is played.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlayedBlock {
    /// Its name.
    pub name: Word,
    /// How often, 1 to 99.
    pub times: usize,
    /// The block that stands in the place of the last bars of the last time.
    pub ending: Option<Word>,
    /// Where what comes last of these comes in; at its start where nothing is said.
    pub from: Option<EntryPlace>,
    /// The instruments of what was played before that go on under it.
    pub over: Vec<Word>,
}

/// A place of a bar at which a block comes in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryPlace {
    /// A beat, and a syllable of it where it is not on the beat.
    pub places: Vec<AccentPlace>,
    /// Where it is written.
    pub span: Span,
}

impl EntryPlace {
    /// Its words, with single spaces.
    pub fn said(&self) -> String {
        let words = self.places.iter().map(|place| match place {
            AccentPlace::Word(word) => word.value.clone(),
            AccentPlace::Of(word, beat) => format!("{} of {beat}", word.value),
            AccentPlace::Division(words) => {
                let words: Vec<&str> = words.iter().map(|word| word.value.as_str()).collect();
                format!("({})", words.join(" "))
            }
        });
        words.collect::<Vec<_>>().join(" ")
    }

    /// Reads one place as it is counted: `3`, `2 &`, `e of 2`.
    pub fn read(piece: Piece<'_>) -> Option<Self> {
        let piece = piece.trimmed();
        let tokens = value_tokens(Rule::entry_value, piece.text)?;
        let places: Vec<AccentPlace> =
            tokens.map(|token| place(piece, token)).collect::<Result<_, _>>().ok()?;
        let is_number = |word: &Word| word.value.parse::<u32>().is_ok();
        let one = match places.as_slice() {
            [AccentPlace::Word(beat)] => is_number(beat),
            [AccentPlace::Word(beat), AccentPlace::Word(syllable)] => {
                is_number(beat) && !is_number(syllable)
            }
            [AccentPlace::Of(_, beat)] => *beat > 0,
            _ => false,
        };
        one.then(|| Self { places, span: piece.span() })
    }
}

/// The drums of a line that says what goes on.
pub fn going_on(piece: Piece<'_>) -> Vec<Word> {
    drums(piece)
}

/// Reads `loft x3, crumbs`, `loft three times ending crumbs`.
///
/// # Errors
/// The place of the first part that does not say which block is played how often.
pub fn played(piece: Piece<'_>) -> Result<Vec<PlayedBlock>, Span> {
    let parts = piece.tokens(Rule::list_value).map(|token| piece.part(&token));
    let read = |part: Piece<'_>| {
        let said = within_spaces(part);
        one(said).ok_or(if said.text.is_empty() { piece.span() } else { said.span() })
    };
    parts.map(read).collect()
}

/// A part without the spaces round it; other white space belongs to its words.
fn within_spaces(part: Piece<'_>) -> Piece<'_> {
    let text = part.text.trim_start_matches(' ');
    let start = part.start + (part.text.len() - text.len());
    Piece { text: text.trim_end_matches(' '), start }
}

fn one(part: Piece<'_>) -> Option<PlayedBlock> {
    let as_word = |token: &Token<'_>| Word::new(token.as_str().to_owned(), part.span_of(token));
    let mut tokens = part.tokens(Rule::played_value);
    let name = as_word(&tokens.next()?);
    let mut block = PlayedBlock { name, times: 1, ending: None, from: None, over: Vec::new() };
    for token in tokens {
        match token.as_rule() {
            Rule::number => {
                block.times = figures(&token).filter(|n| (1..=MOST_TIMES).contains(n))?;
            }
            Rule::amount => {
                block.times = amount(token).filter(|n| (1..=MOST_TIMES).contains(n))?;
            }
            Rule::played_from => block.from = Some(EntryPlace::read(part.part(&token))?),
            Rule::played_over => block.over = drums(part.part(&token)),
            _ => block.ending = Some(as_word(&token)),
        }
    }
    Some(block)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<(String, usize, Option<String>)>, Span> {
        let all = played(Piece { text, start: 7 })?;
        let plain =
            |block: PlayedBlock| (block.name.value, block.times, block.ending.map(|e| e.value));
        Ok(all.into_iter().map(plain).collect())
    }

    #[test]
    fn sequences_of_the_guide() {
        assert_eq!(
            read("loft x3, crumbs"),
            Ok(vec![("loft".into(), 3, None), ("crumbs".into(), 1, None)])
        );
        assert_eq!(
            read("loft x4 ending crumbs"),
            Ok(vec![("loft".into(), 4, Some("crumbs".into()))])
        );
        assert_eq!(read("loft three times"), Ok(vec![("loft".into(), 3, None)]));
        assert_eq!(read("loft 2 times"), Ok(vec![("loft".into(), 2, None)]));
        assert_eq!(read("ending ending x3"), Ok(vec![("ending".into(), 1, Some("x3".into()))]));
    }

    #[test]
    fn where_a_block_comes_in() {
        let one = |text| played(Piece { text, start: 0 }).ok()?.pop();
        let Some(crumbs) = one("crumbs from 2 & over kick foot-hat") else { panic!("crumbs") };
        assert_eq!(
            crumbs.from.map(|from| (from.places.len(), from.span)),
            Some((2, Span::new(12, 15)))
        );
        assert_eq!(crumbs.over.len(), 2);
        assert!(one("loft x3 ending crumbs from e of 2").is_some_and(|b| b.from.is_some()));
        assert!(one("loft over kick").is_some_and(|b| b.from.is_none() && b.over.len() == 1));
        for wrong in ["loft from", "loft from &", "loft from 2 & 3", "loft from 2 3", "loft over"] {
            assert_eq!(one(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn names_know_their_places() {
        let all = played(Piece { text: "loft x3,  crumbs", start: 7 }).ok();
        let spans: Option<Vec<Span>> = all.map(|all| all.iter().map(|b| b.name.span).collect());
        assert_eq!(spans, Some(vec![Span::new(7, 11), Span::new(17, 23)]));
    }

    #[test]
    fn the_first_wrong_part_is_told() {
        assert_eq!(read("loft, crumbs often , x"), Err(Span::new(13, 25)));
        assert_eq!(read("loft x100"), Err(Span::new(7, 16)));
        assert_eq!(read("loft 100 times"), Err(Span::new(7, 21)));
        assert_eq!(read("loft 2"), Err(Span::new(7, 13)));
        assert_eq!(read("loft,,"), Err(Span::new(7, 13)));
        assert_eq!(read("loft ending"), Err(Span::new(7, 18)));
        assert_eq!(read("loft two"), Err(Span::new(7, 15)));
    }
}
