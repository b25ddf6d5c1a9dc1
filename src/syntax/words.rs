//! Rows of words: `dyn`, `say` and `mark`.

use super::codes;
use super::grammar::{Piece, Rule, Token};
use super::row::Reader;
use super::tree::{Entry, QuotableWord, Word, WordGroup};
use crate::score::WordsRow;
use crate::source::{Span, Spanned};

/// Reads the content of a row of words under its own entry of the grammar.
pub fn read(reader: &mut Reader<'_>, piece: Piece<'_>, row: WordsRow) -> Vec<Entry<WordGroup>> {
    let entry = match row {
        WordsRow::Dyn => Rule::dyn_words,
        WordsRow::Say => Rule::say_words,
        WordsRow::Mark => Rule::mark_words,
    };
    reader.entries(piece, entry, group)
}

fn group(reader: &mut Reader<'_>, piece: Piece<'_>, token: Token<'_>) -> Option<WordGroup> {
    let span = piece.span_of(&token);
    let mut parts: Vec<QuotableWord> = Vec::new();
    let mut spread = None;
    let mut joined = true;
    for token in token.into_inner() {
        let at = piece.span_of(&token);
        match token.as_rule() {
            Rule::join => {
                if joined {
                    reader
                        .fault(codes::JOIN_ALONE, at, "`+` has no mark on both its sides")
                        .mend("write marks that share a place as `A+\"softly\"`");
                }
                joined = true;
                continue;
            }
            Rule::last_spread => {
                spread = token.into_inner().next().and_then(|inner| reader.spread(piece, inner));
                if parts.is_empty() {
                    reader
                        .fault(codes::SPREAD_ALONE, at, "there is no word before this spread")
                        .mend("write it right after its word, as `<:2`");
                }
                continue;
            }
            _ if !joined => {
                reader.fault(codes::WORDS_UNSPACED, at, "a space is missing before this").replace(
                    Span::new(at.start, at.start),
                    " ",
                    "put a space, or take the phrase whole into one pair of quotes",
                );
            }
            _ => {}
        }
        joined = false;
        parts.extend(part(reader, piece, token));
    }
    if joined && !parts.is_empty() {
        reader
            .fault(codes::JOIN_ALONE, span, "`+` has no mark on both its sides")
            .mend("write marks that share a place as `A+\"softly\"`");
    }
    (!parts.is_empty()).then_some(WordGroup { parts, spread, span })
}

fn part(reader: &mut Reader<'_>, piece: Piece<'_>, token: Token<'_>) -> Option<QuotableWord> {
    let span = piece.span_of(&token);
    match token.as_rule() {
        Rule::quoted => {
            let text = token.into_inner().as_str();
            if text.trim().is_empty() {
                reader.fault(codes::QUOTES_EMPTY, span, "these quotes are empty").replace(
                    span,
                    ".",
                    "write `.` to pass a beat over",
                );
                return None;
            }
            Some(QuotableWord { word: Word::new(text.to_owned(), span), quoted: true })
        }
        Rule::unknown_open => {
            let text = token.as_str();
            let phrase = text.find('|').map_or(text, |bar| &text[..bar]);
            let phrase = phrase.trim_end_matches(|c: char| c == ':' || c.is_whitespace());
            let mend = "close them on the same line";
            let fault = reader.fault(codes::QUOTES_UNCLOSED, span, "these quotes are not closed");
            if phrase.chars().nth(1).is_some() {
                let end = span.start + phrase.len();
                fault.replace(Span::new(end, end), "\"", mend);
            } else {
                fault.mend(mend);
            }
            None
        }
        _ => {
            let word = Spanned::new(token.as_str().to_owned(), span);
            Some(QuotableWord { word, quoted: false })
        }
    }
}
