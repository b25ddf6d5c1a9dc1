//! Elements written as text, one after another. A page has thousands of them, all alike.

use crate::write::number::put_coordinate;

/// Elements as they grow.
#[derive(Default)]
pub(super) struct Markup {
    text: String,
}

/// Where the content of an element begins.
pub(super) struct Content(usize);

impl Markup {
    /// All of it.
    pub(super) fn finish(self) -> String {
        self.text
    }

    /// Opens a tag. Its attributes come next, in the order of their names.
    pub(super) fn tag(&mut self, name: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.text.push('<');
        self.text.push_str(name);
    }

    /// An attribute with words for its value.
    pub(super) fn attribute(&mut self, name: &str, value: &str) {
        self.attribute_of(name, |text| escape(text, value, true));
    }

    /// An attribute with a whole number for its value.
    pub(super) fn number(&mut self, name: &str, value: usize) {
        self.attribute_of(name, |text| text.push_str(&value.to_string()));
    }

    /// An attribute with a coordinate for its value.
    pub(super) fn coordinate(&mut self, name: &str, value: f64) {
        self.attribute_of(name, |text| put_coordinate(text, value));
    }

    /// An attribute whose value is written by a function, and holds nothing to be escaped.
    pub(super) fn attribute_of(&mut self, name: &str, value: impl FnOnce(&mut String)) {
        self.text.push(' ');
        self.text.push_str(name);
        self.text.push_str("=\"");
        value(&mut self.text);
        self.text.push('"');
    }

    /// Closes an element without content.
    pub(super) fn close_empty(&mut self) {
        self.text.push_str("/>");
    }

    /// Closes the tag of an element that may hold others.
    pub(super) fn open(&mut self) -> Content {
        self.text.push('>');
        Content(self.text.len())
    }

    /// Closes an element whose content began there.
    pub(super) fn close(&mut self, name: &str, content: &Content) {
        if self.text.len() == content.0 {
            self.text.pop();
            self.close_empty();
        } else {
            self.text.push_str("\n</");
            self.text.push_str(name);
            self.text.push('>');
        }
    }

    /// Words as the only content of an element, and its end.
    pub(super) fn words(&mut self, name: &str, words: &str) {
        self.text.push('>');
        escape(&mut self.text, words, false);
        self.text.push_str("</");
        self.text.push_str(name);
        self.text.push('>');
    }
}

/// Appends words with what has a meaning in XML written otherwise (XML 1.0, section 2.4).
fn escape(text: &mut String, words: &str, in_quotes: bool) {
    for c in words.chars() {
        match c {
            '&' => text.push_str("&amp;"),
            '<' => text.push_str("&lt;"),
            '>' => text.push_str("&gt;"),
            '"' if in_quotes => text.push_str("&quot;"),
            '\'' if in_quotes => text.push_str("&apos;"),
            c => text.push(c),
        }
    }
}

/// Words without the characters XML 1.0 cannot hold (section 2.2, "Characters").
pub(super) fn clean(words: &str) -> String {
    words.chars().filter(|c| !c.is_control() && !matches!(c, '\u{FFFE}' | '\u{FFFF}')).collect()
}
