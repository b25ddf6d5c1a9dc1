//! A text as it was read last, with what was found in it.

use super::reading::Reading;
use super::surroundings::Surroundings;
use crate::rope::Rope;
use crate::source::Diagnostics;
use crate::syntax::tree::{Document, Item, Setting};
use std::sync::Arc;

/// What was found in blocks, by the index of each among the items.
pub(super) type FoundInBlocks = Vec<(usize, Arc<Diagnostics>)>;

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
}
