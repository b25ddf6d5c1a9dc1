//! Blocks in the order of their levels, for an edition that asks for it.

use crate::rope::Rope;
use crate::score::{Item, Level};

/// What moves together: a block, or the exercises of a series, with the words that lead to it and those under
/// it.
#[derive(Default)]
struct Group {
    items: Vec<Item>,
    level: Option<Level>,
    /// The byte of the source at which its block starts.
    block: Option<usize>,
}

/// The items as they stand, or with the blocks under each heading from the easiest on: stars first, then words
/// by their letters. Blocks of one level keep their order, and what has none keeps its place.
pub(super) fn ordered(items: Rope<Item>, by_level: bool) -> Rope<Item> {
    if !by_level {
        return items;
    }
    let mut ordered = Vec::with_capacity(items.len());
    let mut section: Vec<Item> = Vec::new();
    for item in items {
        match item {
            Item::Heading { .. } => {
                ordered.append(&mut in_section(std::mem::take(&mut section)));
                ordered.push(item);
            }
            Item::Prose(_) | Item::Block(_) => section.push(item),
        }
    }
    ordered.append(&mut in_section(section));
    ordered.into()
}

fn in_section(items: Vec<Item>) -> Vec<Item> {
    let mut groups = groups(items);
    let places: Vec<usize> =
        (0..groups.len()).filter(|at| groups.get(*at).is_some_and(|g| g.level.is_some())).collect();
    let mut moved: Vec<Group> =
        places.iter().filter_map(|at| groups.get_mut(*at).map(std::mem::take)).collect();
    moved.sort_by(|one, other| one.level.cmp(&other.level));
    for (at, group) in places.into_iter().zip(moved) {
        if let Some(place) = groups.get_mut(at) {
            *place = group;
        }
    }
    groups.into_iter().flat_map(|group| group.items).collect()
}

/// The items between two headings in groups; first what stands before all blocks.
fn groups(items: Vec<Item>) -> Vec<Group> {
    let mut groups = vec![Group::default()];
    let mut leading = Vec::new();
    for item in items {
        let Some(last) = groups.last_mut() else { break };
        match &item {
            Item::Block(block) if leading.is_empty() && last.block == Some(block.at) => {
                last.items.push(item);
            }
            Item::Block(block) => {
                let (level, at) = (block.settings.level.clone(), block.at);
                leading.push(item);
                let items = std::mem::take(&mut leading);
                groups.push(Group { items, level, block: Some(at) });
            }
            Item::Prose(prose) if prose.leads_on() => leading.push(item),
            Item::Prose(_) | Item::Heading { .. } => {
                last.items.append(&mut leading);
                last.items.push(item);
            }
        }
    }
    if let Some(last) = groups.last_mut() {
        last.items.append(&mut leading);
    }
    groups
}
