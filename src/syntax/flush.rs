//! Lines at the left edge: headings, list entries and prose.

use super::grammar::{Piece, Rule};
use super::heading::HeadingWords;

/// A line at the left edge.
pub enum Flush<'a> {
    /// The signs of a heading and its words, which may be missing.
    Heading(Piece<'a>, Piece<'a>),
    /// An entry of a list.
    Entry,
    /// The sign before code, without what follows it.
    Fence(Piece<'a>),
    /// A part.
    Part(HeadingWords<'a>),
    /// The name of a file to include.
    Include(Piece<'a>),
    /// `--`.
    Break,
    /// Prose, or the head of a block.
    Words,
}

/// What a line at the left edge is by its first signs.
pub fn classify(body: Piece<'_>) -> Flush<'_> {
    if begins_with_words(body.text) { Flush::Words } else { by_grammar(body) }
}

/// Whether a line can be nothing but words by how it begins, for which the grammar need not be asked: most are so.
fn begins_with_words(text: &str) -> bool {
    let sign = |first: char| "#`~-*+".contains(first) || first.is_ascii_digit();
    !text.is_empty()
        && !text.starts_with(sign)
        && !text.starts_with("part")
        && !text.starts_with("include")
}

fn by_grammar(body: Piece<'_>) -> Flush<'_> {
    let Some(token) = body.tokens(Rule::flush_line).next() else { return Flush::Words };
    match token.as_rule() {
        Rule::heading => {
            let mut parts = token.into_inner();
            let hashes = parts.next().map_or(body, |token| body.part(&token));
            let empty = Piece { text: "", start: body.start + body.text.len() };
            Flush::Heading(hashes, parts.next().map_or(empty, |token| body.part(&token)))
        }
        Rule::list_entry => Flush::Entry,
        Rule::fence => Flush::Fence(token.into_inner().next().map_or(body, |t| body.part(&t))),
        Rule::part => {
            let mut parts = token.into_inner();
            let words = parts.next().map_or(body, |token| body.part(&token)).trimmed();
            Flush::Part(HeadingWords::before(words, body, parts.next().as_ref()))
        }
        Rule::include => Flush::Include(token.into_inner().next().map_or(body, |t| body.part(&t))),
        Rule::set_break => Flush::Break,
        _ => Flush::Words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4_000))]

        #[test]
        fn the_grammar_says_what_words_are(
            start in "(#|```|~~~|part|par|include|-|--|\\*|\\+|1\\.|12\\)|fill|é| |\t|“|)",
            rest in "( ?\"?[a-z #.`~-]{0,6}(\\.flam)?\"?)",
        ) {
            let text = start + &rest;
            let body = Piece { text: &text, start: 3 };
            prop_assert!(!begins_with_words(&text) || matches!(by_grammar(body), Flush::Words), "{}", text);
        }
    }
}
