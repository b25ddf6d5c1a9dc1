//! What a file means before anything is made from anything.

use super::request::Request;
use super::written::WrittenBlock;
use crate::score::{Header, Item, Placed};

/// A whole file, read.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// What the header says.
    pub header: Header,
    /// Headings, prose and music in order.
    pub(crate) parts: Vec<ReadingPart>,
    /// The names of all blocks in lower case, so that one further down can be pointed at.
    pub(crate) names: Vec<String>,
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
