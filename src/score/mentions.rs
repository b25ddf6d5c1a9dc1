//! What counts of a score for references: the prose that refers, and what blocks and headings it may refer to.

use super::named_places::exercises;
use super::{Item, Reference};
use crate::rope::Rope;
use std::ops::Range;
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

    /// Whether the same counts of other items: names, numbers, titles and exercises of blocks, which of them are
    /// exercises of one series, names of headings with their words and numbers, and what prose refers to.
    #[must_use]
    pub fn are_those_of(&self, items: &Rope<Item>) -> bool {
        let change = items.changed_from(&self.0, Item::is);
        if change.old.len() != change.new.len() {
            return false;
        }
        let (then, now) = (self.0.range(change.old.clone()), items.range(change.new.clone()));
        let same = then.zip(now).all(|(then, now)| is_as(then, now));
        same && joins(&self.0, change.old).eq(joins(items, change.new))
    }
}

fn is_as(then: &Item, now: &Item) -> bool {
    match (then, now) {
        (Item::Block(then), Item::Block(now)) => {
            then.number == now.number
                && (Arc::ptr_eq(&then.block, &now.block)
                    || (then.name == now.name
                        && then.title == now.title
                        && exercises(&then.part.bars) == exercises(&now.part.bars)))
        }
        (Item::Prose(_), Item::Prose(_)) => {
            let keys = |item: &Item| {
                let references = item.references().into_iter();
                references.map(Reference::key).collect::<Vec<String>>()
            };
            keys(then) == keys(now)
        }
        // Words that no name leads to count for nothing.
        (
            Item::Heading { name, text, number, .. },
            Item::Heading { name: now, text: words, number: counted, .. },
        ) => name == now && (name.is_none() || (text == words && number == counted)),
        (Item::Block(_) | Item::Prose(_) | Item::Heading { .. }, _) => false,
    }
}

/// Which items of a range, and the one after it, are blocks that were made of the same lines of the text as
/// the one before. Two that are the very same and still stand side by side have not been parted, nor joined.
fn joins(items: &Rope<Item>, range: Range<usize>) -> impl Iterator<Item = bool> {
    let first = range.start.saturating_sub(1);
    let around = items.range(first..range.end.saturating_add(1));
    let block = |item: &Item| match item {
        Item::Block(block) => Some(block.at),
        Item::Prose(_) | Item::Heading { .. } => None,
    };
    let next = items.iter_from(first + 1).map(block);
    around.map(block).zip(next).map(|(one, other)| one.is_some() && one == other)
}
