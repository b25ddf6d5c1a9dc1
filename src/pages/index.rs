//! What the index at the end lists: blocks by their titles and by what they are tagged with.

use super::headed;
use super::item_ids::ItemId;
use super::piece::OutlineHeading;
use crate::score::settings::Index;
use crate::score::{Level, PlacedBlock, PrintedWords, language_of};

/// What a list lists blocks by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ListKind {
    /// Their titles.
    Exercises,
    /// What they are tagged with.
    Techniques,
    /// How hard they are.
    Levels,
}

impl ListKind {
    /// The lists a header asks for.
    pub fn wanted(wanted: Index) -> &'static [Self] {
        match wanted {
            Index::None => &[],
            Index::Exercises => &[Self::Exercises],
            Index::Techniques => &[Self::Techniques],
            Index::Both => &[Self::Exercises, Self::Techniques],
            Index::Levels => &[Self::Levels],
        }
    }

    /// What stands over it.
    pub fn title(self, printed: &PrintedWords) -> &'static str {
        match self {
            Self::Exercises => printed.exercises,
            Self::Techniques => printed.techniques,
            Self::Levels => printed.levels,
        }
    }
}

/// What a block is listed under. One that prints no title leaves nothing to land on.
pub fn tags(block: &PlacedBlock) -> &[String] {
    if headed::is_headed(block) { &block.settings.tags } else { &[] }
}

/// How hard a block is, where it prints something to land on.
pub fn level(block: &PlacedBlock) -> Option<&Level> {
    block.settings.level.as_ref().filter(|_| headed::is_headed(block))
}

/// The heading over a list.
pub fn heading(title: &str) -> OutlineHeading {
    OutlineHeading { level: 1, words: title.into(), nth: None }
}

/// Articles of a language, which are passed over where words begin with them (Hart's Rules, "Indexing";
/// the words from memory). Those with an apostrophe stand close to the next word.
pub fn articles(language: Option<&str>) -> &'static [&'static str] {
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

/// What stands before the words of an entry under another.
const UNDER: &str = "–\u{2002}";

/// What a list says of a block.
pub struct Listed {
    /// What it is sorted by. What is the same in all of this is one entry.
    pub order: [String; 4],
    /// The letter it stands under.
    pub letter: Option<char>,
    /// The words of its entry.
    pub words: String,
    /// The block.
    pub item: ItemId,
}

impl Listed {
    /// In the order of letters, capitals or not; signs before the first letter or figure and articles do not count.
    /// What stands under other words comes after these.
    pub fn titled(words: &str, parent: Option<&str>, articles: &[&str], item: ItemId) -> Self {
        let both = |words: &str| [sorted_by(words, articles), key(words)];
        let ([first, second], [third, fourth], words) = match parent {
            Some(parent) => (both(parent), both(words), format!("{UNDER}{words}")),
            None => (both(words), Default::default(), words.to_owned()),
        };
        Self { letter: first.chars().next(), order: [first, second, third, fourth], words, item }
    }

    /// By a level: stars from the easiest, then words in the order of their letters.
    pub fn of_level(level: &Level, printed: &PrintedWords, item: ItemId) -> Self {
        let (stars, words) = match level {
            Level::Stars(stars) => (*stars, format!("{} {stars}", printed.level)),
            Level::Words(words) => (Level::MOST_STARS + 1, words.clone()),
        };
        let key = key(&words);
        let letter = key.chars().next();
        Self { order: [stars.to_string(), key, String::new(), String::new()], letter, words, item }
    }
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
fn key(words: &str) -> String {
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
    use crate::pages::item_ids::ItemIds;

    fn sorted(mut listed: Vec<Listed>) -> Vec<usize> {
        listed.sort_by(|one, other| one.order.cmp(&other.order));
        let ids = ItemIds::default();
        listed.iter().filter_map(|listed| ids.index(listed.item)).collect()
    }

    fn order(titles: &[&str], articles: &[&str]) -> Vec<usize> {
        let titles = titles.iter().enumerate();
        let ids = ItemIds::default();
        let listed =
            |(index, title): (usize, &&str)| Listed::titled(title, None, articles, ids.id(index));
        sorted(titles.map(listed).collect())
    }

    #[test]
    fn what_is_made_stands_under_its_parent() {
        let ids = ItemIds::default();
        let listed =
            |words, parent, index| Listed::titled(words, parent, articles(None), ids.id(index));
        let gate = Some("The gate");
        let arch = listed("Arch", gate, 3);
        assert_eq!(arch.words, "–\u{2002}Arch");
        let found = vec![
            listed("Zither", gate, 0),
            listed("Gap", None, 1),
            listed("The gate", None, 2),
            arch,
            listed("Gate 2", None, 4),
        ];
        assert_eq!(sorted(found), [1, 2, 3, 0, 4]);
    }

    #[test]
    fn entries_come_in_the_order_of_letters_and_numbers() {
        let titles = ["gate 10", "\u{201c}Flam\u{201d}", "Gate 2", "drag", "gate 2a"];
        assert_eq!(order(&titles, &[]), [3, 1, 2, 4, 0]);
    }

    #[test]
    fn an_article_is_passed_over_in_its_language() {
        let order = |language: &str| {
            let titles = ["The gate", "Drag", "A flam", "Die Gasse", "Theatre", "A"];
            order(&titles, articles(Some(language)))
        };
        assert_eq!(order("en-GB"), [5, 3, 1, 2, 0, 4]);
        assert_eq!(order("de"), [5, 2, 1, 3, 0, 4]);
        assert_eq!(order("DE_at"), order("de"));
    }
}
