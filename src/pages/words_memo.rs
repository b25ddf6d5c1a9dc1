//! Words that were set before: headings and prose.

use super::piece::Pieces;
use super::reference::ReferenceText;
use crate::memo::Memo;
use crate::score::{Inline, Item, ProseBlock};

/// What headings and prose were set as. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct WordsMemo {
    headings: Memo<[Inline], Versions>,
    prose: Memo<ProseBlock, Versions>,
}

impl WordsMemo {
    /// One that keeps what is set.
    pub(super) fn keeping() -> Self {
        Self { headings: Memo::keeping(), prose: Memo::keeping() }
    }

    /// What the words of an item were set as; what is no words is set as nothing.
    pub(super) fn known(&mut self, item: &Item, told: &WordsContext) -> Option<Pieces> {
        let versions = match item {
            Item::Heading { text, .. } => self.headings.get(text),
            Item::Prose(prose) => self.prose.get(&prose.value),
            Item::Block(_) => return Some(Pieces::default()),
        };
        versions?.get(told).cloned()
    }

    /// Keeps what the words of an item were set as.
    pub(super) fn keep(&mut self, item: &Item, set: SetWords) {
        let versions = match item {
            Item::Heading { text, .. } => self.headings.entry(text),
            Item::Prose(prose) => self.prose.entry(&prose.value),
            Item::Block(_) => None,
        };
        if let Some(versions) = versions {
            versions.put(set);
        }
    }

    /// Forgets what the words of an item were set as.
    pub(super) fn forget(&mut self, item: &Item) {
        match item {
            Item::Heading { text, .. } => self.headings.forget(text),
            Item::Prose(prose) => self.prose.forget(&prose.value),
            Item::Block(_) => {}
        }
    }

    /// Forgets what was not asked for since this was called before.
    pub(super) fn end_turn(&mut self) {
        self.headings.end_turn();
        self.prose.end_turn();
    }
}

/// Words that were set, in the versions that were wanted last: page numbers are known only when pages
/// were broken once.
#[derive(Clone, Debug, Default)]
struct Versions(Vec<SetWords>);

/// How many versions are kept: with no page number, with one, and with one of more figures.
const VERSIONS: usize = 3;

impl Versions {
    fn get(&self, told: &WordsContext) -> Option<&Pieces> {
        self.0.iter().find(|set| set.told == *told).map(|set| &set.pieces)
    }

    fn put(&mut self, set: SetWords) {
        if self.0.len() == VERSIONS {
            self.0.remove(0);
        }
        self.0.push(set);
    }
}

/// Words that were set.
#[derive(Clone, Debug)]
pub(super) struct SetWords {
    pub(super) told: WordsContext,
    pub(super) pieces: Pieces,
}

/// What the pieces of words depend on beside the words.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct WordsContext {
    /// The level of a heading, and the number of its chapter.
    pub(super) heading: Option<(u8, Option<u32>)>,
    /// Whether they stand under music.
    pub(super) under_music: bool,
    /// What their references print.
    pub(super) references: Vec<ReferenceText>,
    /// Their pictures, by where they lie in memory; what was set of them holds on to them.
    pub(super) pictures: Vec<Option<usize>>,
}
