//! Rows of `kit` and `syllables` blocks.

use super::codes;
use super::grammar::{Piece, Rule};
use super::row::Reader;
use super::tree::{KitLetter, Word};
use crate::source::Span;

/// Reads what a `kit` row says of its letter: a name, then attributes set off by commas.
pub fn kit_letter(reader: &mut Reader<'_>, piece: Piece<'_>) -> Option<KitLetter> {
    let mut parts = Vec::new();
    for token in piece.tokens(Rule::kit_row) {
        let part = piece.part(&token).trimmed();
        if part.text.is_empty() {
            let span = piece.span_of(&token);
            let with_comma = match span.start().checked_sub(1).filter(|at| *at >= piece.start) {
                Some(comma) => Span::new(comma, span.end()),
                None => Span::new(span.start(), span.end() + 1),
            };
            reader
                .fault(codes::COMMA_TWICE, span, "there is nothing between these commas")
                .replace(with_comma, "", "take one comma out");
            continue;
        }
        parts.push(Word::new(part.text.to_owned(), part.span()));
    }
    let mut parts = parts.into_iter();
    let name = parts.next()?;
    if name.value.contains(char::is_whitespace) {
        let joined = name.value.split_whitespace().collect::<Vec<_>>().join("-");
        let mend = format!("write `{joined}`, or set it off with a comma from what follows");
        reader
            .fault(
                codes::INSTRUMENT_NAME_SPACED,
                name.span,
                "the name of an instrument is one word",
            )
            .replace(name.span, joined, mend);
    }
    Some(KitLetter { name, attributes: parts.collect() })
}

/// Reads the words of a `syllables` row.
pub fn syllables(piece: Piece<'_>) -> Vec<Word> {
    piece
        .tokens(Rule::syllable_row)
        .map(|token| Word::new(token.as_str().to_owned(), piece.span_of(&token)))
        .collect()
}
