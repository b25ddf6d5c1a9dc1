//! Words of headings, paragraphs and tables.

use super::{Span, name_key};

/// Words with a look. The reader bounds how deep they nest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Inline {
    /// Plain words.
    Text(String),
    /// `` `words` ``: they are printed as they are written.
    Code(String),
    /// The line ends here.
    Break,
    /// An address of the web, as it is written.
    Address(String),
    /// `*words*`.
    Emphasis(Vec<Inline>),
    /// `**words**`.
    Strong(Vec<Inline>),
    /// `[words](address)`.
    Link {
        /// The address: one of the web, or of mail.
        address: String,
        /// The words that lead there.
        words: Vec<Inline>,
    },
    /// The mark of a footnote, by its number in its stretch of prose.
    Note(u32),
    /// `@name` or `@name.3`, in prose.
    Reference(Reference),
}

/// A block or a heading that prose refers to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reference {
    /// Its name.
    pub name: String,
    /// The exercise of a series, from 1: `@name.3`.
    pub exercise: Option<u32>,
    /// What is printed of it.
    pub told: Told,
    /// Where it is written, with its sign, counted from the first byte of its block of prose.
    pub span: Span,
}

impl Reference {
    /// By what it is known where it leads: the name as names are compared, and the exercise.
    #[must_use]
    pub fn key(&self) -> String {
        let name = name_key(&self.name);
        self.exercise.map_or_else(|| name.to_string(), |exercise| format!("{name}.{exercise}"))
    }
}

/// The words of a heading as they are said, without looks.
#[must_use]
pub fn plain_words(text: &[Inline]) -> String {
    let mut words = String::new();
    add_words(text, &mut words);
    words
}

/// Adds the words of a text, whose looks nest no deeper than the reader lets them.
fn add_words(text: &[Inline], words: &mut String) {
    for inline in text {
        match inline {
            Inline::Text(own) | Inline::Code(own) | Inline::Address(own) => words.push_str(own),
            Inline::Break => words.push(' '),
            Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { words: inner, .. } => {
                add_words(inner, words);
            }
            Inline::Note(_) => {}
            Inline::Reference(reference) => words.push_str(&reference.name),
        }
    }
}

/// What a reference prints of where it leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Its number and its page: `12 on page 8`.
    Both,
    /// Its number: `@name.number`.
    Number,
    /// The number of its page: `@name.page`.
    Page,
}
