//! Items of which all is read but the blocks, which are read side by side.

use super::last_reading::FoundInBlock;
use super::read_block::ReadBlock;
use super::reading::ReadingPart;
use super::reading_memo::ReadingMemo;
use super::surroundings::Surroundings;
use crate::parallel::{Each, Stop, map_until};
use crate::score::{Item, Placed};
use crate::syntax::tree;

/// Something to be read. Blocks know nothing of each other and are read side by side.
pub(super) enum Step {
    Prose(Item),
    Block,
}

/// What items come to, but for blocks among them that were not read before.
pub(super) struct BegunReading {
    /// The index of the first item.
    from: usize,
    parts: Vec<Option<ReadingPart>>,
    found: Vec<FoundInBlock>,
    unread: Vec<Unread>,
}

/// A block that was not read before.
struct Unread {
    /// Its place among the parts.
    nth: usize,
    block: Placed<tree::Block>,
    /// What holds for it.
    around: Surroundings,
}

impl BegunReading {
    /// Takes items from an index on; `arounds` says what holds from which item on.
    pub(super) fn of<'d>(
        items: impl Iterator<Item = (&'d tree::Item, Option<Step>)>,
        (from, arounds): (usize, &[(usize, Surroundings)]),
        memo: &mut ReadingMemo,
    ) -> Self {
        let mut begun = Self { from, parts: Vec::new(), found: Vec::new(), unread: Vec::new() };
        let mut rest = arounds.iter().peekable();
        let mut around = arounds.first().map(|(_, around)| around);
        for (nth, (item, step)) in items.enumerate() {
            while let Some((_, next)) = rest.next_if(|(first, _)| *first <= from + nth) {
                around = Some(next);
            }
            let part = match (item, step) {
                (tree::Item::Block(block), Some(Step::Block)) => {
                    around.and_then(|around| begun.take(nth, block, around, memo))
                }
                (_, Some(Step::Prose(item))) => Some(ReadingPart::Prose(item)),
                (_, Some(Step::Block) | None) => None,
            };
            begun.parts.push(part);
        }
        begun
    }

    /// What a block comes to where that is known; it is to be read where it is not.
    fn take(
        &mut self,
        nth: usize,
        block: &Placed<tree::Block>,
        around: &Surroundings,
        memo: &mut ReadingMemo,
    ) -> Option<ReadingPart> {
        let Some(read) = memo.known(block, around) else {
            self.unread.push(Unread { nth, block: block.clone(), around: around.clone() });
            return None;
        };
        self.found.extend(FoundInBlock::of(self.from + nth, block.at, read));
        read.placed(block.at)
    }

    /// Reads what was not read before, and gives each block up that nobody else holds; nothing where the work was
    /// stopped. What is said is what the items come to, and what was found in blocks, in their order.
    pub(super) fn end(
        self,
        memo: &mut ReadingMemo,
        stop: Stop<'_>,
    ) -> Option<(Vec<Option<ReadingPart>>, Vec<FoundInBlock>)> {
        let Self { from, mut parts, mut found, unread } = self;
        let keeps = memo.keeps();
        let read = map_until(stop, Each::Small, unread, |Unread { nth, block, around }| {
            let read = ReadBlock::read(&block, &around);
            (nth, block.at, read, keeps.then_some((block.value, around)))
        })?;
        for (nth, at, read, kept) in read {
            found.extend(FoundInBlock::of(from + nth, at, &read));
            if let Some(part) = parts.get_mut(nth) {
                *part = read.placed(at);
            }
            if let Some((block, around)) = kept {
                memo.blocks.put(&block, (around, read));
            }
        }
        found.sort_by_key(|found| found.index);
        Some((parts, found))
    }
}
