//! What follows a file's header.

use super::{Inline, Placed, PlacedBlock, ProseBlock, Reference};
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
        /// The name by which prose refers to it.
        name: Option<Arc<str>>,
        /// The byte of the source after its words; zero where it stands in none.
        end: usize,
    },
    /// Prose.
    Prose(Placed<ProseBlock>),
    /// Music.
    Block(PlacedBlock),
}

impl Item {
    /// The name by which it is known.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        match self {
            Self::Heading { name, .. } => name.as_deref(),
            Self::Block(block) => block.name.as_deref(),
            Self::Prose(_) => None,
        }
    }

    /// The references to blocks in its words, with their places counted from [`Item::at`].
    pub fn references(&self) -> Vec<&Reference> {
        match self {
            Self::Prose(prose) => prose.references(),
            Self::Heading { .. } | Self::Block(_) => Vec::new(),
        }
    }

    /// The byte of the source from which the places in it count.
    pub fn at(&self) -> usize {
        match self {
            Self::Heading { .. } => 0,
            Self::Prose(prose) => prose.at,
            Self::Block(block) => block.at,
        }
    }
}
