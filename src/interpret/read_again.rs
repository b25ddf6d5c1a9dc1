//! A text that was read before: how far a change of its tree reaches, and what it means with that read again.

use super::keys;
use super::reader::{FileReader, FoundInBlocks, parts};
use super::reading::{Reading, ReadingPart};
use super::reading_memo::ReadingMemo;
use super::surroundings::Surroundings;
use crate::parallel::Stop;
use crate::rope::{Change, Rope};
use crate::score::BlockWord;
use crate::source::Diagnostics;
use crate::syntax::tree::{Document, Item, Setting};

/// The most items that are read again apart from all others.
const MOST_AGAIN: usize = 512;

/// A text as it was read.
#[derive(Debug, Default)]
pub(super) struct LastReading {
    pub(super) header: Vec<Setting>,
    pub(super) items: Rope<Item>,
    pub(super) reading: Reading,
    /// What holds from which item on.
    pub(super) arounds: Vec<(usize, Surroundings)>,
    /// What was found beside that in blocks.
    pub(super) found: Diagnostics,
    pub(super) in_blocks: FoundInBlocks,
}

/// What of a text is read again.
pub(super) struct Again {
    last: LastReading,
    /// What is otherwise than it was.
    change: Change,
    /// The same with all that stands elsewhere.
    moved: Change,
}

impl LastReading {
    /// Of a tree, with nothing read.
    pub(super) fn of(document: &Document) -> Self {
        Self { header: document.header.clone(), items: document.items.clone(), ..Self::default() }
    }

    /// What it means, for who needs nothing else.
    pub(super) fn into_reading(self) -> Reading {
        self.reading
    }

    /// Tells what was found.
    pub(super) fn report(&self, diagnostics: &mut Diagnostics) {
        if !self.found.is_empty() {
            diagnostics.absorb(self.found.clone(), 0);
        }
        for (index, found) in &self.in_blocks {
            if let Some(Item::Block(block)) = self.items.get(*index) {
                diagnostics.absorb(Diagnostics::clone(found), block.at);
            }
        }
    }

    /// What is read again of a tree; nothing where that is all of it, as where an item is changed that says how
    /// others are read or what they may be called.
    pub(super) fn again(self, document: &Document, memo: &ReadingMemo) -> Option<Again> {
        if self.header != document.header {
            return None;
        }
        let moved = document.items.changed_from(&self.items, Item::stands_as);
        let change = document.items.narrowed(&self.items, &moved, Item::is);
        let (old, new) =
            (self.items.range(change.old.clone()), document.items.range(change.new.clone()));
        let mut changed = new.chain(old);
        // Where something was found, or the header of a file names a kit, places outside of blocks are kept.
        let places = (change != moved).then(|| document.items.range(moved.new.clone()));
        let kept = !self.found.is_empty() || places.into_iter().flatten().any(names_kit);
        let same = change.new.len() <= MOST_AGAIN
            && changed.all(says_nothing_of_others)
            && (change == moved || !kept)
            && document.items.range(change.new.clone()).any(says_level)
                == self.items.range(change.old.clone()).any(says_level)
            && memo.names_are_clean(document);
        drop(changed);
        same.then_some(Again { last: self, change, moved })
    }
}

impl Again {
    /// Reads it; nothing where the work was stopped.
    pub(super) fn read(
        self,
        document: &Document,
        memo: &mut ReadingMemo,
        stop: Stop<'_>,
    ) -> Option<LastReading> {
        let Self { last, change, moved } = self;
        let mut arounds = last.arounds;
        // The items that are changed say nothing of what holds.
        let from = change.old.start;
        let here = arounds.partition_point(|(first, _)| *first <= from).saturating_sub(1);
        let (_, around) = arounds.get(here)?.clone();
        let new: Vec<&Item> = document.items.range(change.new.clone()).collect();
        let (outer, document_keys) = (Vec::new(), Vec::new());
        let mut reader = FileReader { around: around.clone(), outer, document_keys };
        let mut found = Diagnostics::default();
        let steps: Vec<_> =
            new.iter().map(|item| reader.step(item, document, memo, &mut found)).collect();
        let items = new.iter().copied().zip(steps);
        let from = change.new.start;
        let (read, found) = parts(items, (from, &[(0, around)]), memo, stop)?;
        memo.forget(last.items.range(change.old.clone()), &new);
        let before = moved.old.start..change.old.start;
        let after = change.old.end..moved.old.end;
        let outside = |old: std::ops::Range<usize>, new: usize| {
            let items = document.items.iter_from(new);
            let parts = last.reading.parts.range(old).zip(items);
            parts.map(|(part, item)| part.as_ref().map(|part| part.of(item)))
        };
        let mut own: Vec<Option<ReadingPart>> = outside(before, moved.new.start).collect();
        own.extend(read);
        own.extend(outside(after, change.new.end));
        let parts = last.reading.parts.replaced([(moved.old.clone(), own)]);
        arounds.iter_mut().filter(|(first, _)| *first > change.old.start).for_each(|(first, _)| {
            *first = change.moved(*first);
        });
        let kept = last.in_blocks.into_iter().filter_map(|(index, found)| {
            (!change.old.contains(&index)).then(|| (change.moved(index), found))
        });
        let mut in_blocks: FoundInBlocks = kept.chain(found).collect();
        in_blocks.sort_by_key(|(index, _)| *index);
        let names = memo.keep_names(document);
        let reading = Reading { parts, names, ..last.reading };
        Some(LastReading {
            reading,
            arounds,
            found: last.found,
            in_blocks,
            ..LastReading::of(document)
        })
    }
}

impl ReadingMemo {
    /// Whether a tree says the same of names as one in which they were in order.
    fn names_are_clean(&self, document: &Document) -> bool {
        self.names.is_clean(document)
    }

    fn keep_names(&mut self, document: &Document) -> std::sync::Arc<[String]> {
        self.names.keep_clean(document)
    }
}

/// Whether the header of a file names a kit, of which the place is remembered.
fn names_kit(item: &Item) -> bool {
    match item {
        Item::FileStart(start) => start.header.iter().any(|line| keys::is(line, "kit")),
        Item::Heading(_) | Item::Prose(_) | Item::Block(_) | Item::Include(_) | Item::FileEnd => {
            false
        }
    }
}

/// Whether a block says how hard it is, by which an edition may order all of them.
fn says_level(item: &Item) -> bool {
    match item {
        Item::Block(block) => block.settings().any(|line| keys::is(line, "level")),
        Item::Heading(_)
        | Item::Prose(_)
        | Item::Include(_)
        | Item::FileStart(_)
        | Item::FileEnd => false,
    }
}

/// Whether an item says nothing of how others are read, nor of players.
fn says_nothing_of_others(item: &Item) -> bool {
    match item {
        Item::Heading(_) | Item::Prose(_) => true,
        Item::Include(_) | Item::FileStart(_) | Item::FileEnd => false,
        Item::Block(block) => {
            let is_music = match block.word.value {
                BlockWord::Kit | BlockWord::Syllables | BlockWord::Edition => false,
                BlockWord::Groove
                | BlockWord::Fill
                | BlockWord::Exercise
                | BlockWord::Rudiment
                | BlockWord::Variation
                | BlockWord::Context
                | BlockWord::Series => true,
            };
            let practised = || block.settings().any(|line| keys::is(line, "practice"));
            is_music && block.players.is_empty() && !practised()
        }
    }
}
