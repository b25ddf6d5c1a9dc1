//! Words in which blocks of music, headings and addresses of the web are named.

use crate::score::{Inline, Reference, Told};
use crate::source::Span;
use crate::syntax::address::with_addresses;
use crate::syntax::grammar::{Rule, tokens};

/// A text with its references; `@@` is the sign itself, and `at` gives the place of a byte of the text.
pub(super) fn with_mentions(text: &str, at: &dyn Fn(usize) -> usize) -> Vec<Inline> {
    if !text.contains('@') {
        return if text.is_empty() { Vec::new() } else { with_addresses(text.to_owned()) };
    }
    let mut inlines = Vec::new();
    let mut words = String::new();
    for token in tokens(Rule::mentions, text) {
        let span = token.as_span();
        match token.as_rule() {
            Rule::mention => {
                if !words.is_empty() {
                    inlines.extend(with_addresses(std::mem::take(&mut words)));
                }
                let mut parts = token.into_inner();
                let name = parts.next().map_or("", |name| name.as_str()).to_owned();
                let (mut exercise, mut told) = (None, Told::Both);
                for part in parts {
                    match (part.as_rule(), part.as_str()) {
                        // No series has as many.
                        (Rule::mention_exercise, number) => {
                            exercise = Some(number.parse().unwrap_or(u32::MAX));
                        }
                        (_, "number") => told = Told::Number,
                        (_, _) => told = Told::Page,
                    }
                }
                let end = span.end().saturating_sub(1).max(span.start());
                let span = Span::new(at(span.start()), at(end) + 1);
                inlines.push(Inline::Reference(Reference { name, exercise, told, span }));
            }
            Rule::doubled_at => words.push('@'),
            _ => words.push_str(token.as_str()),
        }
    }
    if !words.is_empty() {
        inlines.extend(with_addresses(words));
    }
    inlines
}
