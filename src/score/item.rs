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
        /// The byte of the source after its words, where it stands there.
        end: Option<usize>,
    },
    /// Prose.
    Prose(Placed<ProseBlock>),
    /// Music.
    Block(PlacedBlock),
}

impl Item {
    /// The block that it is.
    #[must_use]
    pub fn block(&self) -> Option<&PlacedBlock> {
        match self {
            Self::Block(block) => Some(block),
            Self::Heading { .. } | Self::Prose(_) => None,
        }
    }

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

    /// The same so many bytes of the source further on.
    #[must_use]
    pub fn moved(&self, by: isize) -> Self {
        let to = |at: usize| at.saturating_add_signed(by);
        match self {
            Self::Heading { level, text, number, name, end } => {
                let (text, name) = (text.clone(), name.clone());
                Self::Heading { level: *level, text, number: *number, name, end: end.map(to) }
            }
            Self::Prose(prose) => Self::Prose(prose.moved(by)),
            Self::Block(block) => Self::Block(PlacedBlock { at: to(block.at), ..block.clone() }),
        }
    }

    /// Whether its words refer to blocks.
    #[must_use]
    pub fn refers(&self) -> bool {
        !self.references().is_empty()
    }

    /// Whether it is the very same, wherever it stands.
    pub fn is(&self, other: &Self) -> bool {
        match (self, other) {
            (
                Self::Heading { level, text, number, name, end: _ },
                Self::Heading {
                    level: own_level, text: words, number: counted, name: known, ..
                },
            ) => (level, number, name) == (own_level, counted, known) && Arc::ptr_eq(text, words),
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
