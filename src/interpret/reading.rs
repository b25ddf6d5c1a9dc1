//! What a file means before anything is made from anything.

use super::request::Request;
use super::written::WrittenBlock;
use crate::rope::Rope;
use crate::score::{Header, Item, Placed};
use std::sync::Arc;

/// A whole file, read.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// What the header says.
    pub header: Header,
    /// What each item of the tree comes to, in order: headings, prose and music; nothing where it only says how
    /// others are read.
    pub(crate) parts: Rope<Option<ReadingPart>>,
    /// The names of all blocks in lower case, so that one further down can be pointed at.
    pub(crate) names: Arc<[String]>,
    /// What of it is printed, and how.
    pub(crate) selection: Selection,
}

/// What an edition prints of a file; by default it is everything as it stands.
#[derive(Clone, Debug, Default)]
pub(crate) struct Selection {
    /// The only blocks that are printed, by name in lower case; nothing where it is all.
    pub(crate) only: Option<Vec<String>>,
    /// Blocks that are not printed, by name in lower case.
    pub(crate) without: Vec<String>,
    /// Every letter for a hand is turned to the other hand.
    pub(crate) lead_left: bool,
    /// The blocks under a heading stand in the order of their levels.
    pub(crate) by_level: bool,
}

/// A piece of the body.
#[derive(Clone, Debug)]
pub(crate) enum ReadingPart {
    /// A heading or prose.
    Prose(Item),
    /// Music that is written.
    Written(Placed<WrittenBlock>),
    /// Music that is to be made.
    Request(Placed<Request>),
}

impl ReadingPart {
    /// Whether it is the very same, wherever it stands.
    pub(crate) fn is(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Prose(own), Self::Prose(its)) => own.is(its),
            (Self::Written(own), Self::Written(its)) => Arc::ptr_eq(&own.value, &its.value),
            (Self::Request(own), Self::Request(its)) => Arc::ptr_eq(&own.value, &its.value),
            (Self::Prose(_) | Self::Written(_) | Self::Request(_), _) => false,
        }
    }

    /// The same so many bytes further on.
    pub(super) fn moved(&self, by: isize) -> Self {
        match self {
            Self::Prose(item) => Self::Prose(item.moved(by)),
            Self::Written(block) => Self::Written(block.moved(by)),
            Self::Request(request) => Self::Request(request.moved(by)),
        }
    }

    /// The byte from which its places count; of a heading, the one after its words, where it stands in the source.
    pub(crate) fn place(&self) -> Option<usize> {
        match self {
            Self::Prose(Item::Heading { end, .. }) => *end,
            Self::Prose(item) => Some(item.at()),
            Self::Written(block) => Some(block.at),
            Self::Request(request) => Some(request.at),
        }
    }
}

impl Selection {
    /// Whether every block is printed.
    pub(crate) fn is_all(&self) -> bool {
        self.only.is_none() && self.without.is_empty()
    }
}
