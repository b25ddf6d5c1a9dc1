//! What follows a file's header.

use super::{Inline, Placed, PlacedBlock, Reference};
use std::sync::Arc;

/// A piece of the body.
#[derive(Clone, Debug)]
pub enum Item {
    /// A heading.
    Heading {
        /// 0 for a part, 1 for a chapter, 2 for what is smaller.
        level: u8,
        /// Its words, without a number.
        text: Arc<[Inline]>,
        /// The number of the chapter it opens, where chapters are numbered, from 1.
        number: Option<u32>,
    },
    /// A paragraph.
    Paragraph(Placed<[Inline]>),
    /// A list.
    List {
        /// Numbered or dashed.
        numbered: bool,
        /// Its entries.
        entries: Placed<[Vec<Inline>]>,
    },
    /// Music.
    Block(PlacedBlock),
}

impl Item {
    /// The references to blocks in its words, with their places counted from [`Item::at`].
    pub fn references(&self) -> Vec<&Reference> {
        let mut found = Vec::new();
        match self {
            Self::Paragraph(text) => add_references(text, &mut found),
            Self::List { entries, .. } => {
                entries.iter().for_each(|entry| add_references(entry, &mut found));
            }
            Self::Heading { .. } | Self::Block(_) => {}
        }
        found
    }

    /// The byte of the source from which the places in it count.
    pub fn at(&self) -> usize {
        match self {
            Self::Heading { .. } => 0,
            Self::Paragraph(text) => text.at,
            Self::List { entries, .. } => entries.at,
            Self::Block(block) => block.at,
        }
    }
}

/// Adds the references of a text. Emphasis nests two deep at most.
fn add_references<'a>(text: &'a [Inline], found: &mut Vec<&'a Reference>) {
    for inline in text {
        match inline {
            Inline::Text(_) | Inline::Address(_) => {}
            Inline::Reference(reference) => found.push(reference),
            Inline::Emphasis(inner) | Inline::Strong(inner) => add_references(inner, found),
        }
    }
}
