//! Emphasis in headings, paragraphs and lists, addresses of the web in them, and the blocks they refer
//! to.

use super::address::with_addresses;
use super::grammar::{Rule, Token, tokens};
use crate::score::{Inline, Reference, Told};
use crate::source::Span;

/// Reads words with their emphasis. Stars that do not pair up are ordinary characters.
pub fn read(text: &str) -> Vec<Inline> {
    plain(found(text))
}

/// Reads words with their emphasis and with references to blocks; `at` gives the byte of the
/// source for a byte of the text.
pub fn read_with_references(text: &str, at: &dyn Fn(usize) -> usize) -> Vec<Inline> {
    let found = found(text);
    if text.contains('@') { referring(found, at) } else { plain(found) }
}

/// Words with the byte of the text they start at.
enum FoundWords {
    Text(String, usize),
    Emphasis(Vec<FoundWords>),
    Strong(Vec<FoundWords>),
}

fn found(text: &str) -> Vec<FoundWords> {
    let mut found = Vec::new();
    for token in tokens(Rule::prose, text) {
        match token.as_rule() {
            Rule::strong => found.push(FoundWords::Strong(inner(token))),
            Rule::emphasis => found.push(FoundWords::Emphasis(inner(token))),
            _ => push_text(&mut found, &token),
        }
    }
    found
}

/// What stands between stars; emphasis inside emphasis goes one step deep and no further.
fn inner(token: Token<'_>) -> Vec<FoundWords> {
    let mut found = Vec::new();
    for token in token.into_inner() {
        let rule = token.as_rule();
        match rule {
            Rule::inner_strong | Rule::inner_emphasis => {
                let inside = token.into_inner();
                let start = inside.peek().map_or(0, |first| first.as_span().start());
                let text = vec![FoundWords::Text(inside.as_str().to_owned(), start)];
                found.push(if rule == Rule::inner_strong {
                    FoundWords::Strong(text)
                } else {
                    FoundWords::Emphasis(text)
                });
            }
            _ => push_text(&mut found, &token),
        }
    }
    found
}

fn push_text(found: &mut Vec<FoundWords>, token: &Token<'_>) {
    let text = token.as_str();
    if let Some(FoundWords::Text(last, _)) = found.last_mut() {
        last.push_str(text);
    } else {
        found.push(FoundWords::Text(text.to_owned(), token.as_span().start()));
    }
}

/// Two deep at most, as it was found.
fn plain(found: Vec<FoundWords>) -> Vec<Inline> {
    found
        .into_iter()
        .flat_map(|found| match found {
            FoundWords::Text(text, _) => with_addresses(text),
            FoundWords::Emphasis(inner) => vec![Inline::Emphasis(plain(inner))],
            FoundWords::Strong(inner) => vec![Inline::Strong(plain(inner))],
        })
        .collect()
}

/// Two deep at most, as it was found.
fn referring(found: Vec<FoundWords>, at: &dyn Fn(usize) -> usize) -> Vec<Inline> {
    let mut inlines = Vec::new();
    for found in found {
        match found {
            FoundWords::Text(text, start) if text.contains('@') => {
                inlines.extend(mentions(&text, &|offset| at(start + offset)));
            }
            FoundWords::Text(text, _) => inlines.extend(with_addresses(text)),
            FoundWords::Emphasis(inner) => inlines.push(Inline::Emphasis(referring(inner, at))),
            FoundWords::Strong(inner) => inlines.push(Inline::Strong(referring(inner, at))),
        }
    }
    inlines
}

/// A text with its references; `@@` is the sign itself.
fn mentions(text: &str, at: &dyn Fn(usize) -> usize) -> Vec<Inline> {
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
                let told = match parts.next().map(|part| part.as_str()) {
                    Some("number") => Told::Number,
                    Some(_) => Told::Page,
                    None => Told::Both,
                };
                let end = span.end().saturating_sub(1).max(span.start());
                let span = Span::new(at(span.start()), at(end) + 1);
                inlines.push(Inline::Reference(Reference { name, told, span }));
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
