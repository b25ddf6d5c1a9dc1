//! A key with its value inside another value: `all: sticking: none`.

use crate::syntax::Piece;
use crate::syntax::grammar::Rule;
use crate::syntax::rows;
use crate::syntax::tree::{Setting, Word};

/// Reads a key and a value that is not empty.
pub fn setting(piece: Piece<'_>) -> Option<Setting> {
    let token = piece.tokens(Rule::header_line).find(|token| token.as_rule() == Rule::setting)?;
    let (key, value) = rows::setting_parts(piece, token);
    let word = |part: Piece<'_>| Word::new(part.text.to_owned(), part.span());
    (!value.text.is_empty()).then(|| Setting { key: word(key), value: word(value) })
}
