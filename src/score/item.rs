//! What follows a file's header.

use super::{Inline, PlacedBlock, Reference};

/// A piece of the body.
#[derive(Clone, Debug)]
pub enum Item {
    /// A heading.
    Heading {
        /// 0 for a part, 1 for a chapter, 2 for what is smaller.
        level: u8,
        /// Its words.
        text: Vec<Inline>,
    },
    /// A paragraph.
    Paragraph(Vec<Inline>),
    /// A list.
    List {
        /// Numbered or dashed.
        numbered: bool,
        /// Its entries.
        entries: Vec<Vec<Inline>>,
    },
    /// Music.
    Block(PlacedBlock),
}

impl Item {
    /// The references to blocks in its words.
    pub fn references(&self) -> Vec<&Reference> {
        match self {
            Self::Paragraph(text) => references(text).collect(),
            Self::List { entries, .. } => entries.iter().flat_map(|e| references(e)).collect(),
            Self::Heading { .. } | Self::Block(_) => Vec::new(),
        }
    }
}

/// The references of a text. Emphasis nests two deep at most.
fn references(text: &[Inline]) -> Box<dyn Iterator<Item = &Reference> + '_> {
    Box::new(text.iter().flat_map(|inline| -> Box<dyn Iterator<Item = &Reference>> {
        match inline {
            Inline::Text(_) | Inline::Address(_) => Box::new(std::iter::empty()),
            Inline::Reference(reference) => Box::new(std::iter::once(reference)),
            Inline::Emphasis(inner) | Inline::Strong(inner) => references(inner),
        }
    }))
}
