//! A score that was made before: what a change of what was read comes to, where nothing else is made from it.

use super::budget::Budget;
use super::made::{MadeBlocks, MadeWritten};
use super::numbering::is_numbered;
use crate::interpret::Reading;
use crate::interpret::reading::{ReadingPart, Selection};
use crate::interpret::written::WrittenBlock;
use crate::rope::{Change, Moved, Rope};
use crate::score::printing::{Answers, BlocksOnPages};
use crate::score::{BlockNumber, Header, Item, Placed, PlacedBlock, Score};
use crate::source::Diagnostics;
use std::collections::HashSet;
use std::ops::Range;
use std::sync::Arc;

/// A score as it was made, all of which is printed as it stands.
#[derive(Debug)]
pub(super) struct LastScore {
    header: Header,
    names: Arc<[String]>,
    parts: Rope<Option<ReadingPart>>,
    /// The first item of each part, by the part's index.
    starts: Vec<usize>,
    items: Rope<Item>,
    /// What was found in parts, by their index.
    found: Vec<(usize, Arc<Diagnostics>)>,
    /// What others were made from, by their names in lower case.
    asked: HashSet<String>,
    /// How many signs of the budget were taken.
    signs: u64,
}

/// What of it is made again.
pub(super) struct Again {
    last: LastScore,
    /// The parts that are otherwise than they were.
    change: Change,
    /// Those that stand elsewhere than they did.
    moved: Vec<Moved>,
}

/// The number of something that counts, which may have none.
#[derive(Clone, Copy, PartialEq)]
enum Counts {
    Chapter(Option<u32>),
    Block(Option<BlockNumber>),
}

impl LastScore {
    /// Of what was read, of which nothing is made yet; nothing where the score has not one item for each block that
    /// is made, and no other.
    pub(super) fn begun(reading: &Reading) -> Option<Self> {
        let Reading { header, parts, names, selection } = reading;
        let as_it_stands = is_whole(selection)
            && header.prose
            && header.blocks == BlocksOnPages::Follow
            && match header.answers {
                Answers::None => true,
                Answers::LastPage => false,
            };
        as_it_stands.then(|| Self {
            header: header.clone(),
            names: names.clone(),
            parts: parts.clone(),
            starts: Vec::with_capacity(parts.len()),
            items: Rope::default(),
            found: Vec::new(),
            asked: HashSet::new(),
            signs: 0,
        })
    }

    /// Begins the next part, of which the items come after so many.
    pub(super) fn begin_part(&mut self, items: usize) {
        self.starts.push(items);
    }

    /// Notes what was found in a part that is written.
    pub(super) fn written(&mut self, part: usize, found: &Arc<Diagnostics>) {
        self.found.push((part, found.clone()));
    }

    /// Notes what a request came to.
    pub(super) fn request(&mut self, part: usize, made: &MadeBlocks) {
        self.signs = self.signs.saturating_add(made.signs);
        self.asked.extend(made.asked.iter().map(|asked| asked.name().to_owned()));
        if !made.found.is_empty() {
            self.found.push((part, Arc::new(made.found.clone())));
        }
    }

    /// The same with its items.
    pub(super) fn with(self, items: Rope<Item>) -> Self {
        Self { items, ..self }
    }

    /// The score; what was found in it is told.
    pub(super) fn score(&self, header: Header, diagnostics: &mut Diagnostics) -> Score {
        for (part, found) in &self.found {
            let part = self.parts.get(*part).and_then(Option::as_ref);
            let at = part.and_then(ReadingPart::place).unwrap_or(0);
            diagnostics.absorb(Diagnostics::clone(found), at);
        }
        Score { header, items: self.items.clone(), answers: None, left_out: Vec::new() }
    }

    /// What is made again of what was read; nothing where that is all of it, as where others are made from what
    /// is changed.
    pub(super) fn again(self, reading: &Reading, budget: Budget) -> Option<Again> {
        let same = is_whole(&reading.selection)
            && self.signs <= budget.signs()
            && Arc::ptr_eq(&self.names, &reading.names)
            && self.header == reading.header;
        if !same {
            return None;
        }
        let same = |own: &Option<ReadingPart>, its: &Option<ReadingPart>| match (own, its) {
            (Some(own), Some(its)) => own.is(its),
            (own, its) => own.is_none() && its.is_none(),
        };
        let (parts, old) = (&reading.parts, &self.parts);
        let change = parts.changed_wherever(old, same);
        let place = |part: &Option<ReadingPart>| part.as_ref()?.place();
        let moved = parts.moved_from(old, &change, place);
        let mut changed = parts.range(change.new.clone()).chain(old.range(change.old.clone()));
        let alone = !changed.any(|part| match part {
            None | Some(ReadingPart::Prose(_)) => false,
            Some(ReadingPart::Request(_)) => true,
            Some(ReadingPart::Written(block)) => {
                let name = block.block.name.as_ref();
                name.is_some_and(|name| self.asked.contains(&name.to_lowercase()))
            }
        });
        drop(changed);
        alone.then_some(Again { last: self, change, moved })
    }

    /// The items of a part.
    fn items_of(&self, part: usize) -> Range<usize> {
        let start = |part: usize| self.starts.get(part).copied().unwrap_or(self.items.len());
        start(part)..start(part + 1)
    }
}

impl Again {
    /// Makes it, and what was written before in its place; nothing where it is numbered otherwise than what it
    /// takes the place of, or is printed elsewhere.
    pub(super) fn complete(
        self,
        reading: &Reading,
        make: &mut dyn FnMut(&Placed<WrittenBlock>) -> MadeWritten,
    ) -> Option<(LastScore, Vec<Arc<WrittenBlock>>)> {
        let Self { mut last, change, moved } = self;
        let first_of = |part: usize| last.items_of(part).start;
        let inside = first_of(change.old.start)..first_of(change.old.end);
        let mut numbers = last.items.range(inside.clone()).filter_map(Counts::of);
        let mut new = NewItems { first: inside.start, ..NewItems::default() };
        for (part, index) in reading.parts.range(change.new.clone()).zip(change.new.start..) {
            new.make((index, part.as_ref()), make, &mut numbers)?;
        }
        if numbers.next().is_some() {
            return None;
        }
        drop(numbers);
        let gone = last.parts.range(change.old.clone()).filter_map(|part| match part {
            Some(ReadingPart::Written(written)) => Some(written.value.clone()),
            Some(ReadingPart::Request(_) | ReadingPart::Prose(_)) | None => None,
        });
        let gone = gone.collect();
        let more = new.items.len() as isize - inside.len() as isize;
        let moved = moved.into_iter().map(|Moved { items: parts, by }| Moved {
            items: last.items_of(parts.start).start..last.items_of(parts.end).start,
            by,
        });
        let moved: Vec<Moved> = moved.collect();
        last.items = last.items.replaced_moving(inside, new.items, (&moved, Item::moved));
        if more != 0 {
            let after = last.starts.iter_mut().skip(change.old.end);
            after.for_each(|start| *start = start.saturating_add_signed(more));
        }
        drop(last.starts.splice(change.old.clone(), new.starts));
        let kept = last.found.into_iter().filter_map(|(part, found)| {
            (!change.old.contains(&part)).then(|| (change.moved(part), found))
        });
        last.found = kept.chain(new.found).collect();
        last.found.sort_by_key(|(part, _)| *part);
        last.parts = reading.parts.clone();
        Some((last, gone))
    }
}

/// What takes the place of items.
#[derive(Default)]
struct NewItems {
    /// The index of the first.
    first: usize,
    items: Vec<Item>,
    /// The first item of each part.
    starts: Vec<usize>,
    /// What was found in parts, by their index.
    found: Vec<(usize, Arc<Diagnostics>)>,
}

impl NewItems {
    /// Makes the item of a part, by the index of that; nothing where it is printed elsewhere, or does not count as
    /// what it stands for does.
    fn make(
        &mut self,
        (index, part): (usize, Option<&ReadingPart>),
        make: &mut dyn FnMut(&Placed<WrittenBlock>) -> MadeWritten,
        numbers: &mut dyn Iterator<Item = Counts>,
    ) -> Option<()> {
        self.starts.push(self.first + self.items.len());
        let mut item = match part {
            None | Some(ReadingPart::Request(_)) => return Some(()),
            Some(ReadingPart::Prose(item)) => item.clone(),
            Some(ReadingPart::Written(written)) => {
                let MadeWritten { made, found } = make(written);
                if made.waits {
                    return None;
                }
                self.found.extend(found.map(|found| (index, found)));
                Item::Block(PlacedBlock { block: made.block, at: written.at, number: None })
            }
        };
        if let Some(counts) = Counts::of(&item) {
            counts.take(numbers.next()?, &mut item)?;
        }
        self.items.push(item);
        Some(())
    }
}

impl Counts {
    /// The number of an item, where it counts: a chapter, or a block that is numbered.
    fn of(item: &Item) -> Option<Self> {
        match item {
            Item::Heading { level: 1, number, .. } => Some(Self::Chapter(*number)),
            Item::Block(block) if is_numbered(block.word) => Some(Self::Block(block.number)),
            Item::Heading { .. } | Item::Block(_) | Item::Prose(_) => None,
        }
    }

    /// Gives an item that counts the number of another; nothing where they do not count alike.
    fn take(self, other: Self, item: &mut Item) -> Option<()> {
        match (other, item) {
            (Self::Chapter(own), Item::Heading { number, .. }) => *number = own,
            (Self::Block(own), Item::Block(block)) => block.number = own,
            (Self::Chapter(_) | Self::Block(_), _) => return None,
        }
        Some(())
    }
}

/// Whether all is printed, as it is written and in its order.
fn is_whole(selection: &Selection) -> bool {
    selection.is_all() && !selection.lead_left && !selection.by_level
}
