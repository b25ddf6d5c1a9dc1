//! A text that was read before: how far a change of its tree reaches, and what it means with that read again.

use super::begun_reading::BegunReading;
use super::last_reading::{FoundInBlock, LastReading};
use super::reader::{FileReader, read_all, systems};
use super::reading::{Reading, ReadingPart};
use super::reading_memo::ReadingMemo;
use super::{edition, keys};
use crate::parallel::Stop;
use crate::rope::Change;
use crate::score::{BlockWord, Span, name_key};
use crate::source::{Diagnostics, say};
use crate::syntax::tree::{Document, Item};
use std::borrow::Borrow;
use std::sync::Arc;

/// Reads a tree. Every fault found goes to `diagnostics`; what could be understood is returned all
/// the same. Of a tree that is given up each block is gone once it is read.
///
/// A `kit` block holds for the blocks after it; a `syllables` table for the whole file.
pub fn read(document: impl Borrow<Document>, diagnostics: &mut Diagnostics) -> Reading {
    let read = read_again(document, &mut ReadingMemo::default(), &|| false, diagnostics);
    read.unwrap_or_default()
}

/// Reads a tree as one of its editions prints it, which goes by a name. A name that no edition has is a
/// fault, and the file is read as it stands.
pub fn read_edition(document: &Document, name: &str, diagnostics: &mut Diagnostics) -> Reading {
    let memo = &mut ReadingMemo::default();
    read_edition_again(document, name, (memo, &|| false), diagnostics).unwrap_or_default()
}

/// The same, where blocks may have been read before; nothing where the work was stopped.
pub fn read_edition_again(
    document: &Document,
    name: &str,
    (memo, stop): (&mut ReadingMemo, Stop<'_>),
    diagnostics: &mut Diagnostics,
) -> Option<Reading> {
    let wanted = name_key(name);
    let mut editions = document.blocks().filter(|block| block.word.value == BlockWord::Edition);
    let found = editions
        .find(|block| block.name.as_ref().is_some_and(|name| name_key(&name.value) == wanted));
    let Some(block) = found else {
        let names = edition::names(document);
        let fault = diagnostics.error(Span::default(), format!("there is no edition `{name}`"));
        match names.is_empty() {
            true => fault.mend(format!("write one, as a line `edition {name}` with keys under it")),
            false => {
                fault.mend(format!("there is {}", say::listed(names.iter().map(String::as_str))))
            }
        }
        return read_again(document, memo, stop, diagnostics);
    };
    // Its faults are found where it is read among all blocks.
    let quiet = &mut Diagnostics::default();
    let edition = edition::read(block, document, &systems(document, quiet), quiet);
    let overlaid = edition::overlaid(document, &edition, block.at);
    let reading = read_again(overlaid, memo, stop, diagnostics)?;
    Some(Reading { selection: edition.selection, ..reading })
}

/// Reads a tree, of which the most may have been read before; nothing where the work was stopped.
pub fn read_again(
    tree: impl Borrow<Document>,
    memo: &mut ReadingMemo,
    stop: Stop<'_>,
    diagnostics: &mut Diagnostics,
) -> Option<Reading> {
    let again = memo.last.take().and_then(|last| Again::of(last, tree.borrow(), memo));
    let last = match again {
        Some(again) => again.read(tree.borrow(), memo, stop)?,
        None => read_all(tree, memo, stop)?,
    };
    last.report(diagnostics);
    if !memo.keeps() {
        return Some(last.into_reading());
    }
    let reading = last.reading.clone();
    memo.last = Some(last);
    Some(reading)
}

/// The most items that are read again apart from all others.
const MOST_AGAIN: usize = 512;

/// What of a text is read again.
struct Again {
    last: LastReading,
    /// What is otherwise than it was.
    change: Change,
}

impl Again {
    /// What is read again of a tree; nothing where that is all of it, as where an item is changed that says how
    /// others are read or what they may be called.
    fn of(last: LastReading, document: &Document, memo: &ReadingMemo) -> Option<Self> {
        if last.header != document.header {
            return None;
        }
        let change = document.items.changed_wherever(&last.items, Item::is);
        let (old, new) =
            (last.items.range(change.old.clone()), document.items.range(change.new.clone()));
        let mut changed = new.chain(old);
        // Where something was found, or the header of a file names a kit, places outside of blocks are kept.
        let found_moved = || {
            !last.found.is_empty()
                && document.items.changed_from(&last.items, Item::stands_as) != change
        };
        let kit_moved = |at: &usize| {
            let now = document.items.get(change.moved(*at)).zip(last.items.get(*at));
            !now.is_some_and(|(now, then)| now.stands_as(then))
        };
        let same = change.new.len() <= MOST_AGAIN
            && changed.all(says_nothing_of_others)
            && !last.kits.iter().any(kit_moved)
            && !found_moved()
            && document.items.range(change.new.clone()).any(says_level)
                == last.items.range(change.old.clone()).any(says_level)
            && memo.names_are_clean(document);
        drop(changed);
        same.then_some(Self { last, change })
    }

    /// Reads it; nothing where the work was stopped.
    fn read(
        self,
        document: &Document,
        memo: &mut ReadingMemo,
        stop: Stop<'_>,
    ) -> Option<LastReading> {
        let Self { mut last, change } = self;
        let mut arounds = std::mem::take(&mut last.arounds);
        // The items that are changed say nothing of what holds.
        let from = change.old.start;
        let here = arounds.partition_point(|(first, _)| *first <= from).saturating_sub(1);
        let (_, around) = arounds.get(here)?.clone();
        let new: Vec<&Item> = document.items.range(change.new.clone()).collect();
        let (outer, document_keys) = (Vec::new(), Arc::default());
        let mut reader = FileReader { around: around.clone(), outer, document_keys };
        let mut found = Diagnostics::default();
        let steps: Vec<_> =
            new.iter().map(|item| reader.step(item, document, memo, &mut found)).collect();
        let items = new.iter().copied().zip(steps);
        let from = change.new.start;
        let arounds_here = [(0, around)];
        let (read, found) = BegunReading::of(items, (from, &arounds_here), memo).end(memo, stop)?;
        memo.forget(last.items.range(change.old.clone()), &new);
        let kits = last.kits.iter().map(|at| change.moved(*at)).collect();
        let moved = document.items.moved_from(&last.items, &change, part_place);
        let item = |part: &Option<ReadingPart>, by| part.as_ref().map(|part| part.moved(by));
        let parts = last.reading.parts.replaced_moving(change.old.clone(), read, (&moved, item));
        arounds.iter_mut().filter(|(first, _)| *first > change.old.start).for_each(|(first, _)| {
            *first = change.moved(*first);
        });
        let kept = last.in_blocks.into_iter().filter(|found| !change.old.contains(&found.index));
        let kept = kept.filter_map(|found| {
            let index = change.moved(found.index);
            let Item::Block(block) = document.items.get(index)? else { return None };
            Some(FoundInBlock { index, at: block.at, ..found })
        });
        let mut in_blocks: Vec<FoundInBlock> = kept.chain(found).collect();
        in_blocks.sort_by_key(|found| found.index);
        let names = memo.keep_names(document);
        let reading = Reading { parts, names, ..last.reading };
        Some(LastReading {
            reading,
            arounds,
            found: last.found,
            in_blocks,
            header: last.header,
            items: document.items.clone(),
            kits,
        })
    }
}

/// Where an item stands of which there is something to read.
fn part_place(item: &Item) -> Option<usize> {
    match item {
        Item::Heading(heading) => Some(heading.end),
        Item::Prose(prose) => Some(prose.at),
        Item::Block(block) => Some(block.at),
        Item::Include(_) | Item::FileStart(_) | Item::FileEnd => None,
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

/// Whether a block says how hard it is, by which an edition may order all of them.
fn says_level(item: &Item) -> bool {
    item.block().is_some_and(|block| block.settings().any(|line| keys::is(line, "level")))
}

/// Whether an item says nothing of how others are read, nor of players.
fn says_nothing_of_others(item: &Item) -> bool {
    match item {
        Item::Heading(_) | Item::Prose(_) => true,
        Item::Include(_) | Item::FileStart(_) | Item::FileEnd => false,
        Item::Block(block) => {
            let is_music = block.word.value.has_music();
            let practised = || block.settings().any(|line| keys::is(line, "practice"));
            is_music && block.players.is_empty() && !practised()
        }
    }
}
