//! Items by ids that stay: one more among them changes the indices of all that follow, but nothing that
//! leads to these.

use crate::rope::{Change, Rope};
use crate::score::Item;
use std::sync::Arc;

/// One of the items of a score, wherever it comes to stand among the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct ItemId(u32);

impl ItemId {
    /// That of the item which had this index when no item had an id yet.
    fn first_of(index: usize) -> Self {
        Self(u32::try_from(index).unwrap_or(u32::MAX))
    }

    fn place(self) -> usize {
        self.0 as usize
    }
}

/// The ids of the items of a score. By default each has that of its index.
#[derive(Clone, Debug, Default)]
pub struct ItemIds(Option<Arc<Given>>);

/// Ids after items came or went.
#[derive(Debug)]
struct Given {
    /// By index.
    ids: Vec<ItemId>,
    /// The index of each, by id.
    indices: ByItem<usize>,
    /// Those that no item has any more.
    free: Vec<ItemId>,
}

impl ItemIds {
    /// The id of the item of an index.
    pub fn id(&self, index: usize) -> ItemId {
        let given = self.0.as_ref().and_then(|given| given.ids.get(index));
        given.copied().unwrap_or(ItemId::first_of(index))
    }

    /// The index of an item; nothing where it is gone.
    pub fn index(&self, id: ItemId) -> Option<usize> {
        match &self.0 {
            None => Some(id.place()),
            Some(given) => given.indices.get(id).copied(),
        }
    }

    /// The item that stands so many after one.
    pub fn later(&self, id: ItemId, by: usize) -> Option<ItemId> {
        match by {
            0 => Some(id),
            _ => Some(self.id(self.index(id)? + by)),
        }
    }

    /// Those of items of which some changed, `old_len` being how many there were. An item in the place of another
    /// takes over its id. What is gone leaves its id to what comes, so that there are never more than there were
    /// items at a time.
    fn again(&self, old_len: usize, change: &Change) -> Self {
        let Change { old, new } = change;
        if old.len() == new.len() {
            return self.clone();
        }
        let (mut ids, mut free): (Vec<ItemId>, _) = match &self.0 {
            Some(given) => (given.ids.clone(), given.free.clone()),
            None => ((0..old_len).map(ItemId::first_of).collect(), Vec::new()),
        };
        let fresh = (ids.len() + free.len()..).map(ItemId::first_of);
        let kept = new.len().min(old.len());
        let more = new.len() - kept;
        let taken = free.split_off(free.len().saturating_sub(more));
        let new_ids: Vec<ItemId> = taken.into_iter().chain(fresh).take(more).collect();
        free.extend(ids.splice(old.start + kept..old.end, new_ids));
        let mut indices = ByItem::default();
        ids.iter().enumerate().for_each(|(index, id)| indices.put(*id, index));
        Self(Some(Arc::new(Given { ids, indices, free })))
    }
}

/// Something of items, by their ids.
#[derive(Clone, Debug, PartialEq)]
pub struct ByItem<T>(Vec<Option<T>>);

impl<T> Default for ByItem<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> ByItem<T> {
    /// That of an item.
    pub fn get(&self, id: ItemId) -> Option<&T> {
        self.0.get(id.place())?.as_ref()
    }

    /// Takes that of an item.
    pub fn put(&mut self, id: ItemId, own: T) {
        if self.0.len() <= id.place() {
            self.0.resize_with(id.place() + 1, || None);
        }
        if let Some(place) = self.0.get_mut(id.place()) {
            *place = Some(own);
        }
    }
}

/// The items that pages were made of last. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct ItemsMemo {
    keeps: bool,
    known: Option<Arc<KnownItems>>,
}

/// Items and their ids.
#[derive(Debug)]
pub struct KnownItems {
    /// The items.
    pub items: Rope<Item>,
    /// Their ids.
    pub ids: ItemIds,
}

/// What became of the items that pages were made of last.
#[derive(Debug)]
pub struct ChangedItems {
    /// These.
    pub known: Arc<KnownItems>,
    /// What of them is otherwise, as [`Item::is`] says.
    pub change: Change,
}

impl ItemsMemo {
    /// One that keeps items.
    pub fn keeping() -> Self {
        Self { keeps: true, known: None }
    }

    /// The ids of items, and what became of those that it keeps.
    pub fn of(&self, items: &Rope<Item>) -> (ItemIds, Option<ChangedItems>) {
        let Some(known) = self.known.clone() else { return Default::default() };
        let change = items.changed_wherever(&known.items, Item::is);
        let ids = known.ids.again(known.items.len(), &change);
        (ids, Some(ChangedItems { known, change }))
    }

    /// Keeps items of which pages were made.
    pub fn keep(&mut self, items: &Rope<Item>, ids: ItemIds) {
        self.known = self.keeps.then(|| Arc::new(KnownItems { items: items.clone(), ids }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_stays_keeps_its_id(
            length in 0_usize..200,
            changes in prop::collection::vec((0_usize..200, 0_usize..5, 0_usize..5), 1..20),
        ) {
            let (mut ids, mut length, mut most) = (ItemIds::default(), length, length);
            for (at, gone, come) in changes {
                let start = at.min(length);
                let old = start..(start + gone).min(length);
                let change = Change { old: old.clone(), new: start..start + come };
                let again = ids.again(length, &change);
                length = length - old.len() + come;
                most = most.max(length);
                let all: Vec<ItemId> = (0..length).map(|index| again.id(index)).collect();
                for (index, id) in all.iter().enumerate() {
                    prop_assert_eq!(again.index(*id), Some(index));
                    prop_assert!(id.place() < most);
                }
                for (index, id) in all.iter().enumerate() {
                    let before = match index {
                        _ if index < start => Some(index),
                        _ => (index - start).checked_sub(come).map(|after| old.end + after),
                    };
                    prop_assert!(before.is_none_or(|before| *id == ids.id(before)));
                }
                ids = again;
            }
        }
    }
}
