//! Emphasis in headings, paragraphs and lists.

use super::grammar::{Rule, Token, tokens};
use super::tree::Inline;

/// Reads words with their emphasis. Stars that do not pair up are ordinary characters.
pub fn read(text: &str) -> Vec<Inline> {
    let mut found = Vec::new();
    for token in tokens(Rule::prose, text) {
        match token.as_rule() {
            Rule::strong => found.push(Inline::Strong(inner(token))),
            Rule::emphasis => found.push(Inline::Emphasis(inner(token))),
            _ => push_text(&mut found, token.as_str()),
        }
    }
    found
}

/// What stands between stars; emphasis inside emphasis goes one step deep and no further.
fn inner(token: Token<'_>) -> Vec<Inline> {
    let mut found = Vec::new();
    for token in token.into_inner() {
        let rule = token.as_rule();
        match rule {
            Rule::inner_strong | Rule::inner_emphasis => {
                let mut text = Vec::new();
                push_text(&mut text, token.into_inner().as_str());
                found.push(if rule == Rule::inner_strong {
                    Inline::Strong(text)
                } else {
                    Inline::Emphasis(text)
                });
            }
            _ => push_text(&mut found, token.as_str()),
        }
    }
    found
}

fn push_text(found: &mut Vec<Inline>, text: &str) {
    if let Some(Inline::Text(last)) = found.last_mut() {
        last.push_str(text);
    } else {
        found.push(Inline::Text(text.to_owned()));
    }
}
