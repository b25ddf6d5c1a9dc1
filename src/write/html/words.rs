//! Words as HTML.

use super::escape::escape;
use super::leads::Leads;
use crate::drawing::Picture;
use crate::pages::flowing::Named;
use crate::score::{Inline, Told};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Words as they become HTML, and what they use.
pub(in crate::write) struct HtmlWords<'a> {
    named: &'a BTreeMap<String, Named>,
    pictures: &'a BTreeMap<usize, Arc<Picture>>,
    leads: &'a Leads,
    /// The byte of the source from which places count.
    pub(in crate::write) at: usize,
    /// All code so far, for the letters to embed.
    pub(in crate::write) code: String,
    /// How many sets of footnotes stand before the words.
    pub(in crate::write) sets: usize,
    /// The footnotes of this set that words refer to.
    marked: BTreeSet<u32>,
}

impl<'a> HtmlWords<'a> {
    pub(in crate::write) fn new(
        named: &'a BTreeMap<String, Named>,
        pictures: &'a BTreeMap<usize, Arc<Picture>>,
        leads: &'a Leads,
    ) -> Self {
        Self {
            named,
            pictures,
            leads,
            at: 0,
            code: String::new(),
            sets: 0,
            marked: BTreeSet::new(),
        }
    }

    /// The picture named at a place.
    pub(in crate::write) fn picture(&self, place: usize) -> Option<&'a Picture> {
        self.pictures.get(&(self.at + place)).map(|picture| &**picture)
    }

    /// Words with their look. The reader bounds how deep it nests.
    pub(in crate::write) fn words(&mut self, text: &[Inline]) -> String {
        let mut html = String::new();
        let mut rest = text;
        while let Some((inline, others)) = rest.split_first() {
            rest = others;
            match (inline, others) {
                // The number and the page of one block are one place.
                (
                    Inline::Reference(one),
                    [Inline::Text(words), Inline::Reference(other), after @ ..],
                ) if other.told == Told::Page
                    && one.key() == other.key()
                    && without_page(words).trim().is_empty() =>
                {
                    html.push_str(&self.inline(inline));
                    rest = after;
                }
                (Inline::Text(words), [Inline::Reference(to), ..]) if to.told == Told::Page => {
                    html.push_str(&escape(without_page(words)));
                }
                _ => html.push_str(&self.inline(inline)),
            }
        }
        html
    }

    fn inline(&mut self, inline: &Inline) -> String {
        match inline {
            Inline::Text(text) => escape(text),
            Inline::Code(code) => {
                self.code.push_str(code);
                format!("<code>{}</code>", escape(code))
            }
            Inline::Break => "<br/>\n".to_owned(),
            Inline::Address(address) => {
                let address = escape(address);
                format!("<a href=\"{address}\">{address}</a>")
            }
            Inline::Link { address, words } => {
                format!("<a href=\"{}\">{}</a>", escape(address), self.words(words))
            }
            Inline::Note(number) => self.mark(*number),
            // There are no pages to be named; the number leads to the block.
            Inline::Reference(to) => match self.named.get(&to.key()) {
                Some(Named { id: Some(id), label }) => {
                    format!("<a href=\"{}\">{}</a>", self.leads.to(id), escape(label))
                }
                Some(Named { id: None, label }) => escape(label),
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
    pub(in crate::write) fn next_set(&mut self) -> BTreeSet<u32> {
        self.sets += 1;
        std::mem::take(&mut self.marked)
    }
}

/// What is said before the number of a page, in the languages of the guide; longer words first.
const BEFORE_PAGES: [&str; 13] = [
    "on page",
    "page",
    "p.",
    "auf Seite",
    "Seite",
    "S.",
    "à la page",
    "en la página",
    "página",
    "a pagina",
    "op pagina",
    "pagina",
    "на странице",
];

/// Words without what leads to the number of a page: there are no pages.
fn without_page(words: &str) -> &str {
    let bare = words.trim_end();
    let rest = BEFORE_PAGES.iter().find_map(|said| bare.strip_suffix(said));
    rest.filter(|rest| rest.is_empty() || rest.ends_with(char::is_whitespace)).unwrap_or(words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_are_no_pages_to_be_named() {
        assert_eq!(without_page("see exercise 4 on page\u{a0}"), "see exercise 4 ");
        assert_eq!(without_page("Page "), "Page ");
        assert_eq!(without_page("the homepage "), "the homepage ");
    }

    #[test]
    fn words_cannot_leave_their_place() {
        assert_eq!(escape("<b> & \"c\"\u{7}"), "&lt;b&gt; &amp; &quot;c&quot;");
        let text = [Inline::Strong(vec![Inline::Emphasis(vec![Inline::Text("<i>".into())])])];
        let named = BTreeMap::new();
        let words = HtmlWords::new(&named, &BTreeMap::new(), &Leads::default()).words(&text);
        assert_eq!(words, "<strong><em>&lt;i&gt;</em></strong>");
    }
}
