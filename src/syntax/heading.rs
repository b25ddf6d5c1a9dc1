//! The words of a heading, and the name after them.

use super::codes;
use super::grammar::{Piece, Rule, Token};
use super::tree::Word;
use crate::source::{Diagnostics, say};

/// What stands after the signs of a heading.
pub struct HeadingWords<'a> {
    /// Its words.
    pub title: Piece<'a>,
    /// The name by which prose refers to it.
    pub name: Option<Word>,
    /// Brackets with something else in them.
    wrong: Option<Piece<'a>>,
}

impl<'a> HeadingWords<'a> {
    /// Takes them apart.
    pub fn read(words: Piece<'a>) -> Self {
        let mut heading = Self { title: words, name: None, wrong: None };
        for token in words.tokens(Rule::heading_words) {
            match token.as_rule() {
                Rule::heading_title => heading.title = words.part(&token),
                Rule::heading_end => heading.take(words, &token),
                _ => {}
            }
        }
        heading
    }

    /// Words before which the name was told apart from them.
    pub fn before(title: Piece<'a>, whole: Piece<'a>, end: Option<&Token<'a>>) -> Self {
        let mut heading = Self { title, name: None, wrong: None };
        if let Some(end) = end {
            heading.take(whole, end);
        }
        heading
    }

    fn take(&mut self, whole: Piece<'a>, end: &Token<'a>) {
        let name = |token: Token<'a>| token.into_inner().next();
        let first = end.clone().into_inner().next();
        match first.filter(|token| token.as_rule() == Rule::heading_name).and_then(name) {
            Some(name) => {
                self.name = Some(Word::new(name.as_str().to_owned(), whole.span_of(&name)));
            }
            None => self.wrong = Some(whole.part(end).trimmed()),
        }
    }

    /// Tells of brackets without a name.
    pub fn report(&self, diagnostics: &mut Diagnostics) {
        let Some(wrong) = self.wrong else { return };
        let inside = wrong.text.trim_matches(['{', '}', '#', ' ', '\t']);
        let joined = inside.split_whitespace().collect::<Vec<_>>().join("-");
        let named = format!("{{#{joined}}}");
        let plain = |c: char| c.is_alphabetic() || c.is_ascii_digit() || c == '-';
        let is_name = joined.starts_with(char::is_alphabetic)
            && joined.chars().all(plain)
            && !joined.ends_with('-');
        let message = if wrong.text.starts_with("{#") {
            "the name of a heading is letters, digits and hyphens, and starts with a letter"
        } else {
            "the name of a heading begins with `#`"
        };
        let fault = diagnostics.error(wrong.span(), message).code(codes::HEADING_NAME_WRONG);
        if is_name {
            let mend = format!("write `{}`, or `\\{{` to print a bracket", say::shortened(&named));
            fault.replace(wrong.span(), named, mend);
        } else {
            fault.mend("write a name such as `{#doubles}`, or `\\{` to print a bracket");
        }
    }
}
