//! The places of a page without pages, and what leads to them: contents and index.

use super::body_text::numbered;
use super::flowing_lists::{ContentsEntry, FlowingIndex};
use super::headed;
use super::index_lists::IndexLists;
use super::item_ids::ItemIds;
use super::prose;
use crate::score::settings::Contents;
use crate::score::{Item, PlacedBlock, Score};
use std::collections::BTreeSet;

/// The place of each item, by its index: its name, or a number that nothing has for its name.
pub fn of(score: &Score) -> Vec<String> {
    let names: BTreeSet<&str> = score.items.iter().filter_map(Item::name).collect();
    let place = |(index, item): (usize, &Item)| match item.name() {
        Some(name) => name.to_owned(),
        None => free(format!("place-{}", index + 1), |place| names.contains(place)),
    };
    score.items.iter().enumerate().map(place).collect()
}

/// A place that is not taken.
fn free(mut place: String, is_taken: impl Fn(&str) -> bool) -> String {
    while is_taken(&place) {
        place.push('-');
    }
    place
}

/// The place of the item of an index.
pub fn at(places: &[String], index: usize) -> String {
    places.get(index).cloned().unwrap_or_default()
}

/// The parts and headings of a score, and its blocks with a number or a title.
pub fn outline(score: &Score, places: &[String]) -> Vec<ContentsEntry> {
    let entry = |(index, item): (usize, &Item)| {
        let (level, words) = match item {
            Item::Heading { level, text, number, .. } => {
                (*level, prose::words(&numbered(text, *number)))
            }
            Item::Block(block) => (3, headline(block)?),
            Item::Prose(_) => return None,
        };
        Some(ContentsEntry { level, words, to: at(places, index) })
    };
    let listed = score.answers.map_or(score.items.len(), |heading| heading + 1);
    score.items.iter().enumerate().take(listed).filter_map(entry).collect()
}

/// What the header's contents list of an outline.
pub fn contents(score: &Score, outline: &[ContentsEntry]) -> Vec<ContentsEntry> {
    let deepest = match score.header.contents {
        Contents::None => return Vec::new(),
        Contents::Headings => 2,
        Contents::Exercises => 3,
    };
    outline.iter().filter(|entry| entry.level <= deepest).cloned().collect()
}

/// An entry for what is no item: the notation key, a list of the index.
pub fn entry(words: &str, to: &str) -> ContentsEntry {
    ContentsEntry { level: 1, words: words.to_owned(), to: to.to_owned() }
}

/// The number and the title of a block, where it prints any.
fn headline(block: &PlacedBlock) -> Option<String> {
    let parts = [block.printed_number(), block.title.clone()];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (headed::is_headed(block) && !parts.is_empty()).then(|| parts.join("  "))
}

/// The lists of the header's index; blocks are named by their numbers, and those without by a sign.
pub fn index(score: &Score, places: &[String]) -> Vec<FlowingIndex> {
    let label = |item: usize| {
        let block = score.items.get(item).and_then(Item::block);
        block.and_then(PlacedBlock::printed_number).unwrap_or_else(|| "↑".to_owned())
    };
    let ids = ItemIds::default();
    let lists = IndexLists::of(score, &ids);
    let lists = lists.lists().iter().zip(1..).map(|(list, nth)| FlowingIndex {
        id: free(format!("index-{nth}"), |place| places.iter().any(|own| own == place)),
        title: list.title,
        entries: list
            .entries
            .iter()
            .map(|entry| {
                let items = entry.items.iter().filter_map(|item| ids.index(*item));
                let stands = items.map(|item| (label(item), at(places, item)));
                (entry.words.clone(), stands.collect())
            })
            .collect(),
    });
    lists.collect()
}
