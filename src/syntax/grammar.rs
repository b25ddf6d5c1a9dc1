//! The parser made from `grammar/flamacue.pest`.

use super::tree::Word;
use crate::source::Span;
use flamacue_grammar::Grammar;
pub use flamacue_grammar::Rule;
use pest::Parser as _;
use pest::iterators::Pair;

/// Whether what is plain is read without the grammar. Web pages read a block at a time, and wait for every byte of the
/// module.
pub const PLAIN: bool = !cfg!(target_family = "wasm");

/// A token of the grammar.
pub type Token<'a> = Pair<'a, Rule>;

/// The tokens of a text under one of the grammar's entries, without the end mark. Every entry
/// matches every text; were one not to, there would be no tokens.
pub fn tokens(entry: Rule, text: &str) -> impl Iterator<Item = Token<'_>> {
    Grammar::parse(entry, text)
        .ok()
        .and_then(|mut pairs| pairs.next())
        .into_iter()
        .flat_map(Pair::into_inner)
        .filter(|token| token.as_rule() != Rule::EOI)
}

/// The tokens of a value, without the white space round it, under one of the grammar's entries for
/// values; nothing where the value is none of these.
pub fn value_tokens(entry: Rule, text: &str) -> Option<impl Iterator<Item = Token<'_>>> {
    let whole = Grammar::parse(entry, text.trim()).ok()?.next()?;
    Some(whole.into_inner().filter(|token| token.as_rule() != Rule::EOI))
}

/// The only token of a value that is one of several words.
pub fn one_token(entry: Rule, text: &str) -> Option<Token<'_>> {
    value_tokens(entry, text)?.next()
}

/// Whether a text is a value of this entry.
pub fn is_value(entry: Rule, text: &str) -> bool {
    value_tokens(entry, text).is_some()
}

/// A piece of a source text with its place in it.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    /// The piece.
    pub text: &'a str,
    /// The byte of the source it starts at.
    pub start: usize,
}

impl<'a> Piece<'a> {
    /// The range it takes.
    pub fn span(self) -> Span {
        Span::new(self.start, self.start + self.text.len())
    }

    /// The place of one of its tokens.
    pub fn span_of(self, token: &Token<'_>) -> Span {
        let span = token.as_span();
        Span::new(self.start + span.start(), self.start + span.end())
    }

    /// One of its tokens as a piece of its own.
    pub fn part(self, token: &Token<'a>) -> Self {
        Self { text: token.as_str(), start: self.start + token.as_span().start() }
    }

    /// The text of a range that lies in it; empty where it does not.
    pub fn within(self, span: Span) -> &'a str {
        let start = span.start().checked_sub(self.start);
        start.and_then(|start| self.text.get(start..span.end() - self.start)).unwrap_or("")
    }

    /// The piece with its place counted from a byte that lies before it.
    pub fn counted_from(self, start: usize) -> Self {
        Self { start: self.start.saturating_sub(start), ..self }
    }

    /// The piece without the white space round it.
    pub fn trimmed(self) -> Self {
        let text = self.text.trim_start();
        let start = self.start + (self.text.len() - text.len());
        Self { text: text.trim_end(), start }
    }

    /// Its tokens under an entry of the grammar.
    pub fn tokens(self, entry: Rule) -> impl Iterator<Item = Token<'a>> {
        tokens(entry, self.text)
    }
}

impl<'a> From<&'a Word> for Piece<'a> {
    /// A word that was read, as the piece of text it was.
    fn from(word: &'a Word) -> Self {
        Self { text: &word.value, start: word.span.start() }
    }
}
