//! The lists of an index, made of all blocks or, where few of them changed, of what they were before.

use super::index;
use super::index::{ListKind, Listed};
use super::item_ids::{ChangedItems, ItemId, ItemIds};
use super::piece::OutlineHeading;
use crate::rope::Rope;
use crate::score::settings::Index;
use crate::score::{Item, PlacedBlock, PrintedWords, Score, name_key};
use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::ops::Range;
use std::sync::Arc;

/// An entry: its words, and blocks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IndexEntry {
    /// What it is sorted by.
    pub order: [String; 4],
    /// The letter it stands under; nothing where it has neither letters nor figures.
    pub letter: Option<char>,
    /// Its words.
    pub words: String,
    /// The blocks, in order.
    pub items: Vec<ItemId>,
}

impl IndexEntry {
    fn of(Listed { order, letter, words, item }: Listed) -> Self {
        Self { order, letter, words, items: vec![item] }
    }
}

/// One list of the index.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IndexList {
    kind: ListKind,
    /// What stands over it.
    pub title: &'static str,
    /// Its entries in order.
    pub entries: Vec<Arc<IndexEntry>>,
}

/// The lists that a header asks for, but empty ones.
#[derive(Clone, Debug, Default)]
pub struct IndexLists {
    lists: Arc<[IndexList]>,
    /// The names of blocks that others are made from, under whose titles these stand.
    parents: Arc<HashSet<String>>,
}

impl IndexLists {
    /// Those of a score.
    pub fn of(score: &Score, ids: &ItemIds) -> Self {
        if score.header.index == Index::None {
            return Self::default();
        }
        let titles = titles_by_name(score);
        let title = |name: &str| titles.get(&*name_key(name)).copied();
        let listing = Listing::new(score, &title);
        let list = |kind: &ListKind| {
            let mut sorted: BTreeMap<[String; 4], (Option<char>, String, Vec<ItemId>)> =
                BTreeMap::new();
            for listed in blocks_once(score, ids).flat_map(|block| listing.of(*kind, block)) {
                let Listed { order, letter, words, item } = listed;
                let (_, _, items) =
                    sorted.entry(order).or_insert_with(|| (letter, words, Vec::new()));
                items.push(item);
            }
            let entries = sorted.into_iter().map(|(order, (letter, words, items))| {
                Arc::new(IndexEntry { order, letter, words, items })
            });
            let entries = entries.collect();
            IndexList { kind: *kind, title: kind.title(listing.printed), entries }
        };
        let lists = listing.kinds.iter().map(list).filter(|list| !list.entries.is_empty());
        let blocks = score.items.made().filter_map(Item::block);
        let parents = blocks.filter_map(|block| Some(name_key(block.parent.as_deref()?)));
        let parents = Arc::new(parents.map(Cow::into_owned).collect());
        Self { lists: lists.collect(), parents }
    }

    /// The lists.
    pub fn lists(&self) -> &Arc<[IndexList]> {
        &self.lists
    }

    /// Those of another score of the same header, of items that changed so; nothing where this changes what others
    /// stand under. Where they are as they were they are the very same, as is each entry.
    pub fn again(
        &self,
        (score, ids): (&Score, &ItemIds),
        ChangedItems { known, change }: &ChangedItems,
    ) -> Option<Self> {
        if score.answers.is_some() {
            return change.is_none().then(|| self.clone());
        }
        let old = blocks_of(&known.items, &known.ids, change.old.clone());
        let new = blocks_of(&score.items, ids, change.new.clone());
        let pairs = old.zip(new).take(change.old.len().max(change.new.len()));
        let unlike = |(old, new): &Pair<'_>| match (old, new) {
            (Some((_, old)), Some((_, new))) => !is_listed_as(old, new),
            (old, new) => old.is_some() || new.is_some(),
        };
        let unlike: Vec<Pair<'_>> = pairs.filter(unlike).collect();
        if unlike.is_empty() {
            return Some(self.clone());
        }
        if unlike.iter().any(|pair| self.changes_others(*pair)) {
            return None;
        }
        let titled = |name: &str| {
            let blocks = score.items.made().filter_map(Item::block);
            let mut named = blocks.filter(|block| is_named(block, name));
            named.find_map(|block| block.title.as_deref())
        };
        let listing = Listing::new(score, &titled);
        let list = |kind: &ListKind| {
            let known = self.lists.iter().find(|list| list.kind == *kind);
            let mut entries = known.map(|list| list.entries.clone()).unwrap_or_default();
            for (old, new) in &unlike {
                for gone in old.iter().flat_map(|block| listing.of(*kind, *block)) {
                    take(&mut entries, &gone)?;
                }
                let new = new.iter().flat_map(|block| listing.of(*kind, *block));
                new.for_each(|new| put(&mut entries, new, ids));
            }
            Some(IndexList { kind: *kind, title: kind.title(listing.printed), entries })
        };
        let lists: Option<Vec<IndexList>> = listing.kinds.iter().map(list).collect();
        let lists = lists?.into_iter().filter(|list| !list.entries.is_empty()).collect();
        let mut parents = self.parents.clone();
        let blocks = unlike.iter().filter_map(|(_, new)| *new);
        for name in blocks.filter_map(|(_, block)| Some(name_key(block.parent.as_deref()?))) {
            if !parents.contains(&*name) {
                Arc::make_mut(&mut parents).insert(name.into_owned());
            }
        }
        Some(Self { lists, parents })
    }

    /// Whether blocks that others stand under change their names or titles.
    fn changes_others(&self, (old, new): Pair<'_>) -> bool {
        let named = |block: Option<(_, &PlacedBlock)>| {
            block.and_then(|(_, block)| Some((block.name.clone()?, block.title.clone())))
        };
        let (old, new) = (named(old), named(new));
        let is_parent = |(name, _): &(String, _)| self.parents.contains(&*name_key(name));
        old != new && [old, new].iter().flatten().any(is_parent)
    }
}

/// What stands over the lists that are not empty, for the contents.
pub fn headings(score: &Score, ids: &ItemIds) -> Vec<OutlineHeading> {
    let listing = Listing::new(score, &|_| None);
    let lists = |kind: &&ListKind| {
        blocks_once(score, ids).any(|block| !listing.of(**kind, block).is_empty())
    };
    let kinds = listing.kinds.iter().filter(lists);
    kinds.map(|kind| index::heading(kind.title(listing.printed))).collect()
}

/// The blocks that are listed, each once.
fn blocks_once<'s>(
    score: &'s Score,
    ids: &'s ItemIds,
) -> impl Iterator<Item = (ItemId, &'s PlacedBlock)> {
    let items = score.items_once().enumerate();
    items.filter_map(|(index, item)| Some((ids.id(index), item.block()?)))
}

/// Blocks of the same id, before and after a change.
type Pair<'a> = (Option<(ItemId, &'a PlacedBlock)>, Option<(ItemId, &'a PlacedBlock)>);

/// The blocks among the items of a range, and then nothing on end.
fn blocks_of<'i>(
    items: &'i Rope<Item>,
    ids: &'i ItemIds,
    range: Range<usize>,
) -> impl Iterator<Item = Option<(ItemId, &'i PlacedBlock)>> {
    let own = range.clone().zip(items.range(range));
    let own = own.map(|(index, item)| Some((ids.id(index), item.block()?)));
    own.chain(std::iter::repeat(None))
}

/// What lists are made with.
struct Listing<'a> {
    kinds: &'static [ListKind],
    printed: &'static PrintedWords,
    articles: &'static [&'static str],
    /// The title of the block of a name.
    title: &'a dyn Fn(&str) -> Option<&'a str>,
}

impl<'a> Listing<'a> {
    fn new(score: &Score, title: &'a dyn Fn(&str) -> Option<&'a str>) -> Self {
        let language = score.header.language.as_deref();
        Self {
            kinds: ListKind::wanted(score.header.index),
            printed: PrintedWords::of(language),
            articles: index::articles(language),
            title,
        }
    }

    /// What a list says of a block.
    fn of(&self, kind: ListKind, (item, block): (ItemId, &PlacedBlock)) -> Vec<Listed> {
        match kind {
            ListKind::Exercises => {
                let Some(words) = &block.title else { return Vec::new() };
                let parent = block.parent.as_deref().and_then(self.title);
                // A title that begins with its parent's stands there by itself.
                let parent = parent.filter(|parent| !words.starts_with(parent));
                vec![Listed::titled(words, parent, self.articles, item)]
            }
            ListKind::Techniques => {
                let tags = index::tags(block).iter();
                tags.map(|tag| Listed::titled(tag, None, self.articles, item)).collect()
            }
            ListKind::Levels => {
                let level = index::level(block);
                level.map(|level| Listed::of_level(level, self.printed, item)).into_iter().collect()
            }
        }
    }
}

/// Takes a block out of its entry; nothing where the entry may have its words from another then.
fn take(entries: &mut Vec<Arc<IndexEntry>>, gone: &Listed) -> Option<()> {
    let at = entries.binary_search_by(|entry| entry.order.cmp(&gone.order)).ok()?;
    let entry = Arc::make_mut(entries.get_mut(at)?);
    let nth = entry.items.iter().position(|item| *item == gone.item)?;
    entry.items.remove(nth);
    if entry.items.is_empty() {
        entries.remove(at);
        return Some(());
    }
    (nth > 0).then_some(())
}

/// Puts a block into its entry.
fn put(entries: &mut Vec<Arc<IndexEntry>>, new: Listed, ids: &ItemIds) {
    match entries.binary_search_by(|entry| entry.order.cmp(&new.order)) {
        Err(at) => entries.insert(at, Arc::new(IndexEntry::of(new))),
        Ok(at) => {
            let Some(entry) = entries.get_mut(at).map(Arc::make_mut) else { return };
            let before = |item: &ItemId| ids.index(*item) < ids.index(new.item);
            let nth = entry.items.partition_point(before);
            entry.items.insert(nth, new.item);
            if nth == 0 {
                entry.words = new.words;
            }
        }
    }
}

/// Whether an index says the same of two blocks.
fn is_listed_as(own: &PlacedBlock, its: &PlacedBlock) -> bool {
    own.number.is_some() == its.number.is_some()
        && (Arc::ptr_eq(&own.block, &its.block)
            || ((&own.title, &own.parent, &own.name) == (&its.title, &its.parent, &its.name)
                && own.settings.tags == its.settings.tags
                && own.settings.level == its.settings.level))
}

/// The titles of blocks by their names.
fn titles_by_name(score: &Score) -> HashMap<Cow<'_, str>, &str> {
    let mut titles = HashMap::new();
    for block in score.items.made().filter_map(Item::block) {
        if let (Some(name), Some(title)) = (&block.name, &block.title) {
            titles.entry(name_key(name)).or_insert(title.as_str());
        }
    }
    titles
}

fn is_named(block: &PlacedBlock, name: &str) -> bool {
    block.name.as_deref().is_some_and(|own| name_key(own) == name_key(name))
}
