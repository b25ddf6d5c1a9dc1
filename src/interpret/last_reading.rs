//! A text as it was read last, with what was found in it.

use super::keys;
use super::read_block::ReadBlock;
use super::reading::Reading;
use super::surroundings::Surroundings;
use crate::rope::Rope;
use crate::source::Diagnostics;
use crate::syntax::tree::{Document, Item, Setting};
use std::sync::Arc;

/// What was found in a block.
#[derive(Debug)]
pub(super) struct FoundInBlock {
    /// Its index among the items.
    pub(super) index: usize,
    /// The byte at which it starts.
    pub(super) at: usize,
    pub(super) found: Arc<Diagnostics>,
}

impl FoundInBlock {
    /// Of a block at an index that starts at a byte; nothing where nothing was found.
    pub(super) fn of(index: usize, at: usize, read: &ReadBlock) -> Option<Self> {
        Some(Self { index, at, found: read.found()?.clone() })
    }
}

/// Whether the header of a file names a kit.
fn names_kit(item: &Item) -> bool {
    item.file_start().is_some_and(|start| start.header.iter().any(|line| keys::is(line, "kit")))
}

/// A text as it was read.
#[derive(Debug, Default)]
pub(super) struct LastReading {
    pub(super) header: Arc<[Setting]>,
    pub(super) items: Rope<Item>,
    pub(super) reading: Reading,
    /// What holds from which item on.
    pub(super) arounds: Vec<(usize, Surroundings)>,
    /// What was found beside that in blocks.
    pub(super) found: Diagnostics,
    pub(super) in_blocks: Vec<FoundInBlock>,
    /// The starts of files whose headers name a kit, of which the place is remembered, by index.
    pub(super) kits: Vec<usize>,
}

impl LastReading {
    /// Of a tree, with nothing read.
    pub(super) fn of(document: &Document) -> Self {
        Self {
            header: document.header.clone(),
            items: document.items.clone(),
            kits: (0..)
                .zip(&document.items)
                .filter(|(_, item)| names_kit(item))
                .map(|(at, _)| at)
                .collect(),
            ..Self::default()
        }
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
        for FoundInBlock { at, found, .. } in &self.in_blocks {
            diagnostics.absorb(Diagnostics::clone(found), *at);
        }
    }
}
