//! Addresses of the web among words.

use crate::score::Inline;
use std::ops::Range;

/// How an address begins.
const SCHEMES: [&str; 2] = ["https://", "http://"];

/// Words with the addresses among them.
pub(crate) fn with_addresses(text: String) -> Vec<Inline> {
    let found = addresses(&text);
    if found.is_empty() {
        return vec![Inline::Text(text)];
    }
    let mut inlines = Vec::new();
    let mut at = 0;
    let mut put = |range: Range<usize>, inline: fn(String) -> Inline| {
        if let Some(words) = text.get(range).filter(|words| !words.is_empty()) {
            inlines.push(inline(words.to_owned()));
        }
    };
    for range in found {
        put(at..range.start, Inline::Text);
        at = range.end;
        put(range, Inline::Address);
    }
    put(at..text.len(), Inline::Text);
    inlines
}

/// Where addresses stand in a text, in order. One ends at a blank or a quote, and what closes a
/// sentence or a bracket is no part of it.
fn addresses(text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut from = 0;
    while let Some((start, scheme)) = next(text, from) {
        let rest = text.get(start..).unwrap_or("");
        let long = rest.find(|c: char| c.is_whitespace() || "<>\"“”„".contains(c));
        let whole = rest.get(..long.unwrap_or(rest.len())).unwrap_or("");
        let address = whole.trim_end_matches(|c: char| ".,;:!?)]}'’".contains(c));
        let after_letter = text.get(..start).is_some_and(|t| t.ends_with(char::is_alphanumeric));
        if address.len() > scheme.len() && !after_letter {
            found.push(start..start + address.len());
        }
        from = start + whole.len().max(scheme.len());
    }
    found
}

/// The next place from a byte on where an address may begin.
fn next(text: &str, from: usize) -> Option<(usize, &'static str)> {
    let rest = text.get(from..)?;
    let places = SCHEMES.iter().filter_map(|scheme| Some((from + rest.find(scheme)?, *scheme)));
    places.min()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<&str> {
        addresses(text).into_iter().map(|range| &text[range]).collect()
    }

    #[test]
    fn an_address_ends_where_its_sentence_does() {
        assert_eq!(found("See https://loft.example/one."), ["https://loft.example/one"]);
        assert_eq!(found("(http://loft.example), and so on"), ["http://loft.example"]);
        assert_eq!(
            found("https://a.example/x?y=1&z=2#n and „https://b.example“"),
            ["https://a.example/x?y=1&z=2#n", "https://b.example"]
        );
    }

    #[test]
    fn words_keep_their_addresses_apart() {
        let text = |words: &str| Inline::Text(words.to_owned());
        let address = |words: &str| Inline::Address(words.to_owned());
        let mixed = with_addresses("See https://a.example, and http://b.example".to_owned());
        let expected = [
            text("See "),
            address("https://a.example"),
            text(", and "),
            address("http://b.example"),
        ];
        assert_eq!(mixed, expected);
        assert_eq!(with_addresses("no address".to_owned()), [text("no address")]);
        assert_eq!(with_addresses(String::new()), [text("")]);
    }

    #[test]
    fn what_only_looks_like_one_is_none() {
        assert!(found("https:// alone, xhttps://a.example, and 3//4").is_empty());
        assert!(found("").is_empty());
    }
}
