//! Heads of blocks that are a word, a name and a title, as nearly all are, read without the grammar.
//!
//! What has anything else, or a fault, is left to the grammar, which stays the one definition of the syntax: where this
//! reads a head, the grammar comes to the same, as a property holds.

use super::grammar::Piece;
use super::tree::Word;
use crate::source::Span;
use std::ops::Range;

/// The parts of a head.
pub struct PlainHead<'a> {
    /// Its first word.
    pub word: Piece<'a>,
    /// The name after it.
    pub name: Option<Word>,
    /// What stands in quotes, with their place.
    pub title: Option<Word>,
}

/// Takes a line apart; nothing where the grammar has to say what it is.
pub fn read(line: Piece<'_>) -> Option<PlainHead<'_>> {
    let (words, title) = match line.text.split_once('"') {
        Some((words, quoted)) => (words.strip_suffix(' ')?, Some(quoted.strip_suffix('"')?)),
        None if line.text.ends_with(' ') => return None,
        None => (line.text, None),
    };
    let title = match title {
        Some(text) if text.contains(['"', '“', '”', '„']) || text.trim().is_empty() => {
            return None;
        }
        Some(text) => Some((text.trim(), line.text.len() - text.len() - 2..line.text.len())),
        None => None,
    };
    let (word, rest) = words.split_at(words.find(' ').unwrap_or(words.len()));
    let name = rest.trim_matches(' ');
    let is_word = !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_lowercase());
    let is_name = |name: &str| {
        name.starts_with(|first: char| first.is_ascii_alphabetic())
            && name.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
            && name != "of"
    };
    if !is_word || !(name.is_empty() || is_name(name)) {
        return None;
    }
    let at = word.len() + rest.len() - rest.trim_start_matches(' ').len();
    let own = |text: &str, place: Range<usize>| {
        let span = Span::new(line.start + place.start, line.start + place.end);
        Word::new(text.to_owned(), span)
    };
    Some(PlainHead {
        word: Piece { text: word, ..line },
        name: (!name.is_empty()).then(|| own(name, at..at + name.len())),
        title: title.map(|(text, place)| own(text, place)),
    })
}
