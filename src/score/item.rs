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
    },
    /// Prose.
    Prose(Placed<ProseBlock>),
    /// Music.
    Block(PlacedBlock),
}

impl Item {
    /// The references to blocks in its words, with their places counted from [`Item::at`].
    pub fn references(&self) -> Vec<&Reference> {
        match self {
            Self::Prose(prose) => prose.references(),
            Self::Heading { .. } | Self::Block(_) => Vec::new(),
        }
    }

    /// Whether it is the very same, wherever it stands.
    pub fn is(&self, other: &Self) -> bool {
        match (self, other) {
            (
                Self::Heading { level, text, number },
                Self::Heading { level: its_level, text: its_text, number: its_number },
            ) => (level, number) == (its_level, its_number) && Arc::ptr_eq(text, its_text),
            (Self::Prose(own), Self::Prose(its)) => Arc::ptr_eq(&own.value, &its.value),
            (Self::Block(own), Self::Block(its)) => {
                own.number == its.number && Arc::ptr_eq(&own.block, &its.block)
            }
            (Self::Heading { .. } | Self::Prose(_) | Self::Block(_), _) => false,
        }
    }

    /// Whether it is the very same but for its number.
    pub fn is_same_thing(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Heading { text, .. }, Self::Heading { text: its, .. }) => Arc::ptr_eq(text, its),
            (Self::Prose(own), Self::Prose(its)) => Arc::ptr_eq(&own.value, &its.value),
            (Self::Block(own), Self::Block(its)) => Arc::ptr_eq(&own.block, &its.block),
            (Self::Heading { .. } | Self::Prose(_) | Self::Block(_), _) => false,
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
