//! What counts of a score for references: the prose that refers, and what blocks it may refer to.

use super::{Item, PlacedBlock, ProseBlock};
use std::sync::Arc;

/// All that counts of items, for whoever wants to know whether it is as it was.
#[derive(Clone, Debug)]
pub struct Mentions(Vec<Mentioned>);

#[derive(Clone, Debug)]
enum Mentioned {
    Block(PlacedBlock),
    Prose(Arc<ProseBlock>),
    Heading,
}

impl Mentions {
    /// What counts of these items.
    #[must_use]
    pub fn of(items: &[Item]) -> Self {
        Self(items.iter().map(Mentioned::of).collect())
    }

    /// Whether the same counts of other items: names, numbers and titles of blocks, and prose by where it
    /// lies in memory.
    #[must_use]
    pub fn are_those_of(&self, items: &[Item]) -> bool {
        self.0.len() == items.len() && self.0.iter().zip(items).all(|(then, now)| then.is_as(now))
    }
}

impl Mentioned {
    fn of(item: &Item) -> Self {
        match item {
            Item::Block(block) => Self::Block(block.clone()),
            Item::Prose(prose) => Self::Prose(prose.value.clone()),
            Item::Heading { .. } => Self::Heading,
        }
    }

    fn is_as(&self, item: &Item) -> bool {
        match (self, item) {
            (Self::Block(then), Item::Block(now)) => {
                then.number == now.number
                    && (Arc::ptr_eq(&then.block, &now.block)
                        || (then.name == now.name && then.title == now.title))
            }
            (Self::Prose(then), Item::Prose(now)) => Arc::ptr_eq(then, &now.value),
            (Self::Heading, Item::Heading { .. }) => true,
            (Self::Block(_) | Self::Prose(_) | Self::Heading, _) => false,
        }
    }
}
