//! Words of headings, paragraphs and lists.

use super::Span;

/// Words with a look.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Inline {
    /// Plain words.
    Text(String),
    /// An address of the web, as it is written.
    Address(String),
    /// `*words*`.
    Emphasis(Vec<Inline>),
    /// `**words**`.
    Strong(Vec<Inline>),
    /// `@name`, in paragraphs and lists.
    Reference(Reference),
}

/// A block that prose refers to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reference {
    /// The block's name.
    pub name: String,
    /// What is printed of it.
    pub told: Told,
    /// Where it is written, with its sign, counted from the first byte of the paragraph or list.
    pub span: Span,
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
