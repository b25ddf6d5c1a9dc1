//! What counts of a score for references: the prose that refers, and what blocks it may refer to.

use super::Item;
use crate::rope::Rope;
use std::sync::Arc;

/// All that counts of items, for whoever wants to know whether it is as it was.
#[derive(Clone, Debug)]
pub struct Mentions(Rope<Item>);

impl Mentions {
    /// What counts of these items.
    #[must_use]
    pub fn of(items: &Rope<Item>) -> Self {
        Self(items.clone())
    }

    /// Whether the same counts of other items: names, numbers and titles of blocks, and the names that prose
    /// refers to.
    #[must_use]
    pub fn are_those_of(&self, items: &Rope<Item>) -> bool {
        let change = items.changed_from(&self.0, Item::is);
        let (then, now) = (self.0.range(change.old.clone()), items.range(change.new.clone()));
        change.old.len() == change.new.len() && then.zip(now).all(|(then, now)| is_as(then, now))
    }
}

fn is_as(then: &Item, now: &Item) -> bool {
    match (then, now) {
        (Item::Block(then), Item::Block(now)) => {
            then.number == now.number
                && (Arc::ptr_eq(&then.block, &now.block)
                    || (then.name == now.name && then.title == now.title))
        }
        (Item::Prose(_), Item::Prose(_)) => {
            let names = |item: &Item| {
                let references = item.references().into_iter();
                references.map(|reference| reference.name.clone()).collect::<Vec<String>>()
            };
            names(then) == names(now)
        }
        (Item::Heading { .. }, Item::Heading { .. }) => true,
        (Item::Block(_) | Item::Prose(_) | Item::Heading { .. }, _) => false,
    }
}
