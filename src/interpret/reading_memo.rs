//! Blocks that were read before.

use super::counting::CountingSystems;
use super::names::NamesMemo;
use super::read_block::ReadBlock;
use super::reading::ReadingPart;
use super::request::Surroundings;
use super::setup::Setup;
use crate::memo::{Memo, Shared};
use crate::score::{Inline, Kit, Placed};
use crate::source::Diagnostics;
use crate::syntax::tree;
use std::sync::Arc;

/// What blocks meant, and what held for them. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct ReadingMemo {
    pub(super) blocks: Memo<tree::Block, (Surroundings, ReadBlock)>,
    pub(super) setups: Shared<Setup>,
    pub(super) systems: Shared<CountingSystems>,
    pub(super) kits: Shared<Kit>,
    pub(super) names: NamesMemo,
    /// Titles of included files.
    pub(super) titles: Shared<Arc<[Inline]>>,
}

impl ReadingMemo {
    /// One that keeps what is read.
    #[must_use]
    pub fn keeping() -> Self {
        Self {
            blocks: Memo::keeping(),
            setups: Shared::keeping(),
            systems: Shared::keeping(),
            kits: Shared::keeping(),
            names: NamesMemo::keeping(),
            titles: Shared::keeping(),
        }
    }

    /// Forgets what was not asked for since this was called before.
    pub fn end_turn(&mut self) {
        self.blocks.end_turn();
        self.setups.end_turn();
        self.systems.end_turn();
        self.kits.end_turn();
        self.titles.end_turn();
    }

    /// What a block meant where the same held, which may be nothing; what was found in it is told.
    pub(super) fn known(
        &mut self,
        block: &Placed<tree::Block>,
        around: &Surroundings,
        diagnostics: &mut Diagnostics,
    ) -> Option<Option<ReadingPart>> {
        let (held, read) = self.blocks.get(&block.value)?;
        if !held.is(around) {
            return None;
        }
        read.report(block.at, diagnostics);
        Some(read.placed(block.at))
    }
}

impl Surroundings {
    /// Whether these are the same; equal ones of one memo are.
    fn is(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.setup, &other.setup)
            && Arc::ptr_eq(&self.systems, &other.systems)
            && Arc::ptr_eq(&self.kit, &other.kit)
    }
}
