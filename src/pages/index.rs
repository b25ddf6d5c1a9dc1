//! What the index at the end lists: blocks by their titles and by what they are tagged with.

use super::headed;
use super::piece::OutlineHeading;
use crate::score::settings::Index;
use crate::score::{Item, Level, PlacedBlock, PrintedWords, Score, language_of, name_key};
use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};

/// An entry: its words, and blocks by their index among the items.
#[derive(Clone, Debug)]
pub struct IndexEntry {
    /// What it is sorted by.
    pub key: String,
    /// Its words.
    pub words: String,
    /// The blocks, by index.
    pub items: Vec<usize>,
}

/// One list of the index.
#[derive(Clone, Debug)]
pub struct IndexList {
    /// What stands over it.
    pub title: &'static str,
    /// Its entries in order.
    pub entries: Vec<IndexEntry>,
}

/// The headings of an index, for the contents.
pub fn headings(score: &Score) -> Vec<OutlineHeading> {
    let printed = PrintedWords::of(score.header.language.as_deref());
    let mut headings = Vec::new();
    let blocks = || score.items_once().filter_map(Item::block);
    let wanted = score.header.index;
    if wants_exercises(wanted) && blocks().any(|block| block.title.is_some()) {
        headings.push(heading(printed.exercises));
    }
    if wants_techniques(wanted) && blocks().any(|block| !tags(block).is_empty()) {
        headings.push(heading(printed.techniques));
    }
    if wanted == Index::Levels && blocks().any(|block| level(block).is_some()) {
        headings.push(heading(printed.levels));
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
    if headed::is_headed(block) { &block.settings.tags } else { &[] }
}

/// How hard a block is, where it prints something to land on.
fn level(block: &PlacedBlock) -> Option<&Level> {
    block.settings.level.as_ref().filter(|_| headed::is_headed(block))
}

/// Blocks by their levels: stars from the easiest, then words in the order of their letters.
fn by_level<'a>(
    blocks: impl Iterator<Item = (usize, &'a PlacedBlock)>,
    printed: &PrintedWords,
) -> Vec<IndexEntry> {
    let mut sorted: BTreeMap<(u8, String), IndexEntry> = BTreeMap::new();
    for (index, block) in blocks {
        let Some(level) = level(block) else { continue };
        let (stars, words) = match level {
            Level::Stars(stars) => (*stars, format!("{} {stars}", printed.level)),
            Level::Words(words) => (Level::MOST_STARS + 1, words.clone()),
        };
        let key = key(&words);
        let entry = || IndexEntry { key: key.clone(), words, items: Vec::new() };
        sorted.entry((stars, key.clone())).or_insert_with(entry).items.push(index);
    }
    sorted.into_values().collect()
}

/// The heading over a list.
pub fn heading(title: &str) -> OutlineHeading {
    OutlineHeading { level: 1, words: title.into(), nth: None }
}

/// The lists the header asks for, but empty ones.
pub fn lists(score: &Score) -> Vec<IndexList> {
    let wanted = score.header.index;
    let printed = PrintedWords::of(score.header.language.as_deref());
    let articles = articles(score.header.language.as_deref());
    let mut lists = Vec::new();
    let blocks = || {
        let items = score.items_once().enumerate();
        items.filter_map(|(index, item)| Some((index, item.block()?)))
    };
    if wants_exercises(wanted) {
        let named = titles_by_name(score);
        let titled = |(index, block): (usize, &PlacedBlock)| {
            let words = block.title.clone()?;
            let parent = block.parent.as_deref().and_then(|name| named.get(&*name_key(name)));
            // A title that begins with its parent's stands there by itself.
            let parent = parent.filter(|parent| !words.starts_with(**parent));
            Some(Listed { parent: parent.map(|title| (*title).to_owned()), words, item: index })
        };
        let titles = blocks().filter_map(titled);
        lists.push(IndexList { title: printed.exercises, entries: entries(titles, articles) });
    }
    if wants_techniques(wanted) {
        let tags = blocks().flat_map(|(item, block)| {
            let listed = move |tag: &String| Listed { words: tag.clone(), parent: None, item };
            tags(block).iter().map(listed)
        });
        lists.push(IndexList { title: printed.techniques, entries: entries(tags, articles) });
    }
    if wanted == Index::Levels {
        lists.push(IndexList { title: printed.levels, entries: by_level(blocks(), printed) });
    }
    lists.retain(|list| !list.entries.is_empty());
    lists
}

/// Articles of a language, which are passed over where words begin with them (Hart's Rules, "Indexing";
/// the words from memory). Those with an apostrophe stand close to the next word.
fn articles(language: Option<&str>) -> &'static [&'static str] {
    match language_of(language).as_str() {
        "en" => &["the ", "a ", "an "],
        "de" => &["der ", "die ", "das ", "ein ", "eine "],
        "fr" => &["le ", "la ", "les ", "un ", "une ", "l’", "l'"],
        "es" => &["el ", "la ", "los ", "las ", "un ", "una "],
        "it" => &["il ", "lo ", "la ", "i ", "gli ", "le ", "un ", "uno ", "una ", "l’", "l'"],
        "pt" => &["o ", "a ", "os ", "as ", "um ", "uma "],
        "nl" => &["de ", "het ", "een "],
        "sv" => &["en ", "ett "],
        "da" | "nb" | "nn" | "no" => &["en ", "et ", "ei ", "den ", "det "],
        _ => &[],
    }
}

/// Entries in the order of their letters, capitals or not; signs before the first letter or figure
/// and articles do not count.
fn entries(found: impl Iterator<Item = Listed>, articles: &[&str]) -> Vec<IndexEntry> {
    let mut sorted: BTreeMap<[String; 4], IndexEntry> = BTreeMap::new();
    for Listed { words, parent, item } in found {
        let own = [sorted_by(&words, articles), key(&words)];
        let is_under = parent.is_some();
        let [first, second] = match parent {
            Some(parent) => [sorted_by(&parent, articles), key(&parent)],
            None => own.clone(),
        };
        // What stands for itself comes before what stands under it.
        let [third, fourth] = if is_under { own } else { Default::default() };
        let key = first.clone();
        let entry = sorted.entry([first, second, third, fourth]).or_insert_with(|| {
            let words = if is_under { format!("{UNDER}{words}") } else { words };
            IndexEntry { key, words, items: Vec::new() }
        });
        entry.items.push(item);
    }
    sorted.into_values().collect()
}

/// What stands before the words of an entry under another.
const UNDER: &str = "–\u{2002}";

/// Something to be listed.
struct Listed {
    words: String,
    /// The words it is listed under.
    parent: Option<String>,
    item: usize,
}

/// The titles of blocks by their names.
fn titles_by_name(score: &Score) -> HashMap<Cow<'_, str>, &str> {
    let mut titles = HashMap::new();
    for block in score.items.iter().filter_map(Item::block) {
        if let (Some(name), Some(title)) = (&block.name, &block.title) {
            titles.entry(name_key(name)).or_insert(title.as_str());
        }
    }
    titles
}

/// What words are sorted by, without the article they begin with.
fn sorted_by(words: &str, articles: &[&str]) -> String {
    let key = key(words);
    let rest = articles.iter().find_map(|article| key.strip_prefix(article));
    match rest.filter(|rest| !rest.is_empty()) {
        Some(rest) => rest.to_owned(),
        None => key,
    }
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

    fn listed((item, title): (usize, &&str)) -> Listed {
        Listed { words: (*title).to_owned(), parent: None, item }
    }

    #[test]
    fn what_is_made_stands_under_its_parent() {
        let under = |words: &str, item| Listed {
            words: words.into(),
            parent: Some("The gate".into()),
            item,
        };
        let found = vec![
            under("Zither", 0),
            listed((1, &"Gap")),
            listed((2, &"The gate")),
            under("Arch", 3),
            listed((4, &"Gate 2")),
        ];
        let sorted = entries(found.into_iter(), articles(None));
        let items: Vec<usize> = sorted.iter().map(|entry| entry.items[0]).collect();
        assert_eq!(items, [1, 2, 3, 0, 4]);
        assert_eq!(sorted[2].words, "–\u{2002}Arch");
    }

    #[test]
    fn entries_come_in_the_order_of_letters_and_numbers() {
        let titles = ["gate 10", "\u{201c}Flam\u{201d}", "Gate 2", "drag", "gate 2a"];
        let found = titles.iter().enumerate().map(listed);
        let sorted: Vec<usize> = entries(found, &[]).iter().map(|entry| entry.items[0]).collect();
        assert_eq!(sorted, [3, 1, 2, 4, 0]);
    }

    #[test]
    fn an_article_is_passed_over_in_its_language() {
        let order = |language: &str| {
            let titles = ["The gate", "Drag", "A flam", "Die Gasse", "Theatre", "A"];
            let found = titles.iter().enumerate().map(listed);
            let sorted = entries(found, articles(Some(language)));
            sorted.iter().map(|entry| entry.items[0]).collect::<Vec<_>>()
        };
        assert_eq!(order("en-GB"), [5, 3, 1, 2, 0, 4]);
        assert_eq!(order("de"), [5, 2, 1, 3, 0, 4]);
        assert_eq!(order("DE_at"), order("de"));
    }
}
