//! What a file means before anything is made from anything.

use super::request::Request;
use super::written::WrittenBlock;
use crate::score::{Header, Item, Placed};
use std::sync::Arc;

/// A whole file, read.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// What the header says.
    pub header: Header,
    /// Headings, prose and music in order.
    pub(crate) parts: Vec<ReadingPart>,
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

impl Selection {
    /// Whether every block is printed.
    pub(crate) fn is_all(&self) -> bool {
        self.only.is_none() && self.without.is_empty()
    }
}
