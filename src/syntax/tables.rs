//! Rows of `kit` and `syllables` blocks.

use super::grammar::{Piece, Rule};
use super::row::Reader;
use super::tree::{KitLetter, Word};

/// Reads what a `kit` row says of its letter: a name, then attributes set off by commas.
pub fn kit_letter(reader: &mut Reader<'_>, piece: Piece<'_>) -> Option<KitLetter> {
    let mut parts = Vec::new();
    for token in piece.tokens(Rule::kit_row) {
        let part = trimmed(piece.part(&token));
        if part.text.is_empty() {
            reader
                .fault(piece.span_of(&token), "there is nothing between these commas")
                .mend("take one comma out");
            continue;
        }
        parts.push(Word::new(part.text.to_owned(), part.span()));
    }
    let mut parts = parts.into_iter();
    let name = parts.next()?;
    if name.value.contains(char::is_whitespace) {
        reader.fault(name.span, "the name of an instrument is one word").mend(format!(
            "write `{}`, or set it off with a comma from what follows",
            name.value.split_whitespace().collect::<Vec<_>>().join("-")
        ));
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

fn trimmed(piece: Piece<'_>) -> Piece<'_> {
    let text = piece.text.trim_start();
    let start = piece.start + piece.text.len() - text.len();
    Piece { text: text.trim_end(), start }
}
