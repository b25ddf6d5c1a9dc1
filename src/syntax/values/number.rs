//! Numbers in figures and in words.

use crate::source::say;
use crate::syntax::grammar::{Rule, Token};

/// The largest number that may be written as a word.
const LARGEST_WORD: usize = 12;

/// The number of a token of figures; nothing where it is too large for anything.
pub(super) fn figures<T: std::str::FromStr>(token: &Token<'_>) -> Option<T> {
    token.as_str().parse().ok()
}

/// The number of a token of figures or of a word from `one` to `twelve`.
pub(super) fn amount(token: Token<'_>) -> Option<usize> {
    let inner = token.into_inner().next()?;
    match inner.as_rule() {
        Rule::number_word => word(inner.as_str()),
        _ => figures(&inner),
    }
}

/// The number of a word from `one` to `twelve`.
fn word(word: &str) -> Option<usize> {
    (1..=LARGEST_WORD).find(|n| say::number(*n) == word)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::syntax::grammar::is_value;

    #[test]
    fn every_word_of_the_grammar_is_a_number() {
        for n in 1..=LARGEST_WORD {
            assert_eq!(word(&say::number(n)), Some(n));
            assert!(is_value(Rule::shift_value, &format!("{} eighths", say::number(n))));
        }
        assert_eq!(word("thirteen"), None);
    }
}
