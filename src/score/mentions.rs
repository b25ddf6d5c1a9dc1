//! What counts of a score for references: the prose that refers, and what blocks and headings it refers to.

use super::named_places::exercises;
use super::{Inline, Item, Reference, name_key};
use crate::rope::Rope;
use std::collections::HashSet;
use std::ops::Range;
use std::sync::Arc;

/// All that counts of items, for whoever wants to know whether it is as it was.
#[derive(Clone, Debug)]
pub struct Mentions {
    items: Rope<Item>,
    /// The names that prose refers to, as [`name_key`] makes them.
    asked: Arc<HashSet<String>>,
}

impl Mentions {
    /// What counts of these items.
    #[must_use]
    pub fn of(items: &Rope<Item>) -> Self {
        let references = items.iter().flat_map(Item::references);
        let asked = references.map(|reference| name_key(&reference.name).into_owned()).collect();
        Self { items: items.clone(), asked: Arc::new(asked) }
    }

    /// The same of other items, where the same counts of them: what prose refers to; and of what it refers to, what
    /// is printed of it, its exercises, and whether it `stays` what it was, by its old index and its new one.
    #[must_use]
    pub fn again(&self, items: &Rope<Item>, stays: impl Fn(usize, usize) -> bool) -> Option<Self> {
        let change = items.changed_wherever(&self.items, Item::is);
        let mut old = self.counted(&self.items, change.old);
        let mut new = self.counted(items, change.new);
        let same = |(was, old): &(usize, Counted<'_>), (is, new): &(usize, Counted<'_>)| {
            old == new && (!old.is_led_to() || stays(*was, *is))
        };
        let same = loop {
            match (old.next(), new.next()) {
                (Some(old), Some(new)) if same(&old, &new) => {}
                (None, None) => break true,
                (Some(_) | None, _) => break false,
            }
        };
        drop((old, new));
        same.then(|| Self { items: items.clone(), asked: self.asked.clone() })
    }

    /// What counts of the items of a range of which anything does, with their indices, and whether the one after it
    /// joins them.
    fn counted<'i>(
        &'i self,
        items: &'i Rope<Item>,
        range: Range<usize>,
    ) -> impl Iterator<Item = (usize, Counted<'i>)> {
        let first = range.start.saturating_sub(1);
        let over = (range.start > 0).then(|| items.get(first)).flatten();
        let over = std::iter::once(over).chain(items.iter_from(range.start).map(Some));
        let own = items.iter_from(range.start).zip(over);
        let next = range.len();
        own.take(next + 1).enumerate().filter_map(move |(nth, (item, over))| {
            let joined = over.is_some_and(|over| are_of_one_text(over, item));
            let counted = match nth < next {
                true => self.count(item, joined)?,
                false => Counted::After { joined },
            };
            Some((range.start + nth, counted))
        })
    }

    fn count<'i>(&self, item: &'i Item, joined: bool) -> Option<Counted<'i>> {
        let is_asked = |name: &str| self.asked.contains(&*name_key(name));
        let name = item.name().filter(|name| is_asked(name));
        Some(match item {
            Item::Prose(_) => {
                let keys: Vec<_> = item.references().into_iter().map(Reference::key).collect();
                return (!keys.is_empty()).then_some(Counted::Prose(keys));
            }
            Item::Heading { .. } | Item::Block(_) if name.is_none() && !joined => return None,
            Item::Heading { text, number, .. } => Counted::Heading { name, text, number: *number },
            Item::Block(block) => Counted::Block {
                name,
                label: block.label(),
                exercises: exercises(&block.part.bars),
                joined,
            },
        })
    }
}

/// What counts of an item.
#[derive(PartialEq)]
enum Counted<'i> {
    /// The keys of what it refers to.
    Prose(Vec<String>),
    Heading {
        name: Option<&'i str>,
        text: &'i [Inline],
        number: Option<u32>,
    },
    Block {
        name: Option<&'i str>,
        label: Option<String>,
        exercises: Vec<u32>,
        /// Whether it was made of the same lines of the text as the one before.
        joined: bool,
    },
    /// Of the first item after, whether it joins the one before.
    After {
        joined: bool,
    },
}

impl Counted<'_> {
    /// Whether words may lead to it.
    fn is_led_to(&self) -> bool {
        match self {
            Self::Heading { .. } | Self::Block { .. } => true,
            Self::Prose(_) | Self::After { .. } => false,
        }
    }
}

/// Whether two items are blocks that were made of the same lines of the text.
fn are_of_one_text(one: &Item, other: &Item) -> bool {
    match (one, other) {
        (Item::Block(one), Item::Block(other)) => one.at == other.at,
        (Item::Block(_) | Item::Heading { .. } | Item::Prose(_), _) => false,
    }
}
