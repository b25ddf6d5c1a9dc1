//! What counts of a score for references: the prose that refers, and what blocks and headings it may refer to.

use super::named_places::exercises;
use super::{Inline, Item, PlacedBlock, ProseBlock};
use std::sync::Arc;

/// All that counts of items, for whoever wants to know whether it is as it was.
#[derive(Clone, Debug)]
pub struct Mentions(Vec<Mentioned>);

#[derive(Clone, Debug)]
enum Mentioned {
    Block(PlacedBlock),
    Prose(Arc<ProseBlock>),
    Heading { name: Option<Arc<str>>, text: Arc<[Inline]>, number: Option<u32> },
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
        let same = || self.0.iter().zip(items).all(|(then, now)| then.is_as(now));
        self.0.len() == items.len() && same() && self.joins().eq(joins(items))
    }

    /// Which blocks were made of the same lines of the text as the one before.
    fn joins(&self) -> impl Iterator<Item = bool> {
        let at = |mentioned: &Mentioned| match mentioned {
            Mentioned::Block(block) => Some(block.at),
            Mentioned::Prose(_) | Mentioned::Heading { .. } => None,
        };
        self.0.windows(2).map(move |two| match two {
            [one, other] => at(one).is_some() && at(one) == at(other),
            _ => false,
        })
    }
}

impl Mentioned {
    fn of(item: &Item) -> Self {
        match item {
            Item::Block(block) => Self::Block(block.clone()),
            Item::Prose(prose) => Self::Prose(prose.value.clone()),
            Item::Heading { name, text, number, .. } => {
                Self::Heading { name: name.clone(), text: text.clone(), number: *number }
            }
        }
    }

    fn is_as(&self, item: &Item) -> bool {
        match (self, item) {
            (Self::Block(then), Item::Block(now)) => {
                then.number == now.number
                    && (Arc::ptr_eq(&then.block, &now.block)
                        || (then.name == now.name
                            && then.title == now.title
                            && exercises(&then.part.bars) == exercises(&now.part.bars)))
            }
            (Self::Prose(then), Item::Prose(now)) => Arc::ptr_eq(then, &now.value),
            // Words that no name leads to count for nothing.
            (
                Self::Heading { name, text, number },
                Item::Heading { name: now, text: words, number: counted, .. },
            ) => name == now && (name.is_none() || (text == words && number == counted)),
            (Self::Block(_) | Self::Prose(_) | Self::Heading { .. }, _) => false,
        }
    }
}

/// The same of items.
fn joins(items: &[Item]) -> impl Iterator<Item = bool> {
    items.windows(2).map(|two| match two {
        [Item::Block(one), Item::Block(other)] => one.at == other.at,
        _ => false,
    })
}
