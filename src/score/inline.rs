//! Words of headings, paragraphs and tables.

use super::{Span, name_key};
use std::borrow::Cow;

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
    /// `@name`, in prose.
    Reference(Reference),
}

/// A block that prose refers to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reference {
    /// The block's name.
    pub name: String,
    /// What is printed of it.
    pub told: Told,
    /// Where it is written, with its sign, counted from the first byte of its block of prose.
    pub span: Span,
}

impl Reference {
    /// The name as names are compared.
    pub fn key(&self) -> Cow<'_, str> {
        name_key(&self.name)
    }
}

/// What a reference prints of its block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Its number and its page: `12 on page 8`.
    Both,
    /// Its number: `@name.number`.
    Number,
    /// The number of its page: `@name.page`.
    Page,
}
