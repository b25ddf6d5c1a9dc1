//! What the index at the end lists: blocks by their titles and by what they are tagged with.

use super::block;
use super::piece::OutlineHeading;
use crate::score::settings::Index;
use crate::score::{PlacedBlock, Score};
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

/// What stands over the lists.
static EXERCISES: LazyLock<Arc<str>> = LazyLock::new(|| "Index of exercises".into());
static TECHNIQUES: LazyLock<Arc<str>> = LazyLock::new(|| "Index of techniques".into());

/// An entry: its words, and blocks by their index among the items.
pub struct IndexEntry {
    /// Its words.
    pub words: String,
    /// The blocks, by index.
    pub items: Vec<usize>,
}

/// One list of the index.
pub struct IndexList {
    /// What stands over it.
    pub title: Arc<str>,
    /// Its entries in order.
    pub entries: Vec<IndexEntry>,
}

/// The headings of an index, for the contents.
pub fn headings(score: &Score) -> Vec<OutlineHeading> {
    let mut headings = Vec::new();
    let blocks = || score.items.iter().filter_map(block::of_item);
    let wanted = score.header.index;
    if wants_exercises(wanted) && blocks().any(|block| block.title.is_some()) {
        headings.push(heading(&EXERCISES));
    }
    if wants_techniques(wanted) && blocks().any(|block| !tags(block).is_empty()) {
        headings.push(heading(&TECHNIQUES));
    }
    headings
}

fn wants_exercises(wanted: Index) -> bool {
    matches!(wanted, Index::Exercises | Index::Both)
}

fn wants_techniques(wanted: Index) -> bool {
    matches!(wanted, Index::Techniques | Index::Both)
}

/// What a block is listed under. One that prints no title leaves nothing to land on.
fn tags(block: &PlacedBlock) -> &[String] {
    if block::is_headed(block) { &block.settings.tags } else { &[] }
}

/// The heading over a list.
pub fn heading(title: &Arc<str>) -> OutlineHeading {
    OutlineHeading { level: 1, words: title.clone(), nth: None }
}

/// The lists the header asks for, but empty ones.
pub fn lists(score: &Score) -> Vec<IndexList> {
    let wanted = score.header.index;
    let mut lists = Vec::new();
    let blocks = || {
        let items = score.items.iter().enumerate();
        items.filter_map(|(index, item)| Some((index, block::of_item(item)?)))
    };
    if wants_exercises(wanted) {
        let titles = blocks().filter_map(|(index, block)| Some((block.title.clone()?, index)));
        lists.push(IndexList { title: EXERCISES.clone(), entries: entries(titles) });
    }
    if wants_techniques(wanted) {
        let tags = blocks()
            .flat_map(|(index, block)| tags(block).iter().map(move |tag| (tag.clone(), index)));
        lists.push(IndexList { title: TECHNIQUES.clone(), entries: entries(tags) });
    }
    lists.retain(|list| !list.entries.is_empty());
    lists
}

/// Entries in the order of their letters, capitals or not; signs before the first letter or figure
/// do not count.
fn entries(found: impl Iterator<Item = (String, usize)>) -> Vec<IndexEntry> {
    let mut sorted: BTreeMap<String, IndexEntry> = BTreeMap::new();
    for (words, item) in found {
        let key = key(&words);
        let entry = sorted.entry(key).or_insert_with(|| IndexEntry { words, items: Vec::new() });
        entry.items.push(item);
    }
    sorted.into_values().collect()
}

/// What words are sorted by. Figures are padded, so that 2 comes before 10.
pub fn key(words: &str) -> String {
    let bare = words.trim_start_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    let mut key = String::with_capacity(bare.len());
    let mut rest = bare.as_str();
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(start);
        let end = from.find(|c: char| !c.is_ascii_digit()).unwrap_or(from.len());
        let (figures, after) = from.split_at(end);
        key.push_str(before);
        key.push_str(&format!("{figures:0>6}"));
        rest = after;
    }
    key + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_come_in_the_order_of_letters_and_numbers() {
        let titles = ["gate 10", "\u{201c}Flam\u{201d}", "Gate 2", "drag", "gate 2a"];
        let found = titles.iter().enumerate().map(|(item, title)| ((*title).to_owned(), item));
        let sorted: Vec<usize> = entries(found).iter().map(|entry| entry.items[0]).collect();
        assert_eq!(sorted, [3, 1, 2, 4, 0]);
    }
}
