//! Words as HTML.

use crate::pages::flowing::Named;
use crate::score::Inline;
use std::collections::{BTreeMap, BTreeSet};

/// Words as they become HTML, and what they use.
pub(super) struct HtmlWords<'a> {
    named: &'a BTreeMap<String, Named>,
    /// All code so far, for the letters to embed.
    pub(super) code: String,
    /// How many sets of footnotes stand before the words.
    pub(super) sets: usize,
    /// The footnotes of this set that words refer to.
    marked: BTreeSet<u32>,
}

impl<'a> HtmlWords<'a> {
    pub(super) fn new(named: &'a BTreeMap<String, Named>) -> Self {
        Self { named, code: String::new(), sets: 0, marked: BTreeSet::new() }
    }

    /// Words with their look. The reader bounds how deep it nests.
    pub(super) fn words(&mut self, text: &[Inline]) -> String {
        text.iter().map(|inline| self.inline(inline)).collect()
    }

    fn inline(&mut self, inline: &Inline) -> String {
        match inline {
            Inline::Text(text) => escape(text),
            Inline::Code(code) => {
                self.code.push_str(code);
                format!("<code>{}</code>", escape(code))
            }
            Inline::Break => "<br>\n".to_owned(),
            Inline::Address(address) => {
                let address = escape(address);
                format!("<a href=\"{address}\">{address}</a>")
            }
            Inline::Link { address, words } => {
                format!("<a href=\"{}\">{}</a>", escape(address), self.words(words))
            }
            Inline::Note(number) => self.mark(*number),
            // There are no pages to be named; the number leads to the block.
            Inline::Reference(to) => match self.named.get(&to.name.to_lowercase()) {
                Some(named) => {
                    format!("<a href=\"#{}\">{}</a>", escape(&named.id), escape(&named.label))
                }
                None => escape(&to.name),
            },
            Inline::Emphasis(inner) => format!("<em>{}</em>", self.words(inner)),
            Inline::Strong(inner) => format!("<strong>{}</strong>", self.words(inner)),
        }
    }

    /// The mark of a footnote; the first of each is led back to.
    fn mark(&mut self, number: u32) -> String {
        let set = self.sets + 1;
        let id = if self.marked.insert(number) {
            format!(" id=\"mark-{set}-{number}\"")
        } else {
            String::new()
        };
        format!("<sup><a href=\"#note-{set}-{number}\"{id} role=\"doc-noteref\">{number}</a></sup>")
    }

    /// The footnotes of a set are written, and marks that follow are of the next.
    pub(super) fn next_set(&mut self) -> BTreeSet<u32> {
        self.sets += 1;
        std::mem::take(&mut self.marked)
    }
}

/// Words that cannot leave their place.
pub(super) fn escape(words: &str) -> String {
    let mut escaped = String::with_capacity(words.len());
    for c in words.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            c if c.is_control() && c != '\n' => {}
            c => escaped.push(c),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cannot_leave_their_place() {
        assert_eq!(escape("<b> & \"c\"\u{7}"), "&lt;b&gt; &amp; &quot;c&quot;");
        let text = [Inline::Strong(vec![Inline::Emphasis(vec![Inline::Text("<i>".into())])])];
        let named = BTreeMap::new();
        let words = HtmlWords::new(&named).words(&text);
        assert_eq!(words, "<strong><em>&lt;i&gt;</em></strong>");
    }
}
