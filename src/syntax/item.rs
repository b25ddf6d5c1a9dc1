//! What is asked of an item of a tree: which block it is, and whether it is one with an item of another tree, the very
//! same or the very same at the same place.

use super::tree::{Block, Document, FileStart, Heading, Item, Setting};
use crate::score::Placed;
use crate::source::Span;
use std::sync::Arc;

impl Document {
    /// The blocks, in order.
    pub fn blocks(&self) -> impl Iterator<Item = &Placed<Block>> {
        self.items.iter().filter_map(Item::block)
    }
}

impl Item {
    /// The block that it is.
    pub fn block(&self) -> Option<&Placed<Block>> {
        match self {
            Self::Block(block) => Some(block),
            Self::Heading(_)
            | Self::Prose(_)
            | Self::Include(_)
            | Self::FileStart(_)
            | Self::FileEnd => None,
        }
    }

    /// The included file that begins with it.
    pub fn file_start(&self) -> Option<&FileStart> {
        match self {
            Self::FileStart(start) => Some(start),
            Self::Heading(_)
            | Self::Prose(_)
            | Self::Block(_)
            | Self::Include(_)
            | Self::FileEnd => None,
        }
    }

    /// Whether it is the very same, wherever it stands.
    pub fn is(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Heading(own), Self::Heading(its)) => {
                let name = |heading: &Heading| heading.name.as_ref().map(|name| name.value.clone());
                own.level == its.level
                    && Arc::ptr_eq(&own.text, &its.text)
                    && name(own) == name(its)
            }
            (Self::Prose(own), Self::Prose(its)) => Arc::ptr_eq(&own.value, &its.value),
            (Self::Block(own), Self::Block(its)) => Arc::ptr_eq(&own.value, &its.value),
            (Self::Include(own), Self::Include(its)) => own.value == its.value,
            (Self::FileStart(own), Self::FileStart(its)) => {
                let lines = own.header.iter().zip(its.header.iter());
                own.header.len() == its.header.len()
                    && lines.into_iter().all(|(own, its)| {
                        (&own.key.value, &own.value.value) == (&its.key.value, &its.value.value)
                    })
            }
            (Self::FileEnd, Self::FileEnd) => true,
            (
                Self::Heading(_)
                | Self::Prose(_)
                | Self::Block(_)
                | Self::Include(_)
                | Self::FileStart(_)
                | Self::FileEnd,
                _,
            ) => false,
        }
    }

    /// Whether it is the very same and stands at the same place.
    pub fn stands_as(&self, other: &Self) -> bool {
        self.place() == other.place() && self.is(other)
    }

    /// Where it stands: its span or its first byte, where its words end, its name, and the lines of a header.
    fn place(&self) -> (Span, usize, Option<Span>, &[Setting]) {
        let nowhere = Span::default();
        match self {
            Self::Heading(heading) => {
                let name = heading.name.as_ref().map(|name| name.span);
                (heading.span, heading.end, name, &[])
            }
            Self::Prose(prose) => (nowhere, prose.at, None, &[]),
            Self::Block(block) => (nowhere, block.at, None, &[]),
            Self::Include(name) => (name.span, 0, None, &[]),
            Self::FileStart(start) => (start.span, 0, None, &start.header),
            Self::FileEnd => (nowhere, 0, None, &[]),
        }
    }
}
