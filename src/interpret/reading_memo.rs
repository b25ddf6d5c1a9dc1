//! Blocks that were read before.

use super::counting::CountingSystems;
use super::names::NamesMemo;
use super::read_block::ReadBlock;
use super::reading::ReadingPart;
use super::request::Surroundings;
use super::setup::Setup;
use super::typography::Typographer;
use crate::memo::{Memo, Shared};
use crate::score::{Inline, Kit, Placed, ProseBlock};
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
    pub(super) named_kits: Shared<Vec<(String, Arc<Kit>)>>,
    pub(super) names: NamesMemo,
    /// Titles of included files.
    pub(super) titles: Shared<Arc<[Inline]>>,
    /// Headings and prose as they are printed.
    headings: Memo<[Inline], (Typographer, Arc<[Inline]>)>,
    prose: Memo<ProseBlock, (Typographer, Arc<ProseBlock>)>,
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
            named_kits: Shared::keeping(),
            names: NamesMemo::keeping(),
            titles: Shared::keeping(),
            headings: Memo::keeping(),
            prose: Memo::keeping(),
        }
    }

    /// Forgets what was not asked for since this was called before.
    pub fn end_turn(&mut self) {
        self.blocks.end_turn();
        self.setups.end_turn();
        self.systems.end_turn();
        self.kits.end_turn();
        self.named_kits.end_turn();
        self.titles.end_turn();
        self.headings.end_turn();
        self.prose.end_turn();
    }

    /// A heading as it is printed.
    pub(super) fn typographic_heading(
        &mut self,
        text: &Arc<[Inline]>,
        typographer: Typographer,
    ) -> Arc<[Inline]> {
        printed(&mut self.headings, text, typographer, Typographer::inlines)
    }

    /// Prose as it is printed.
    pub(super) fn typographic_prose(
        &mut self,
        block: &Arc<ProseBlock>,
        typographer: Typographer,
    ) -> Arc<ProseBlock> {
        printed(&mut self.prose, block, typographer, Typographer::prose)
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
            && Arc::ptr_eq(&self.kits, &other.kits)
    }
}

/// Words as a typographer sets them, who may have set them before.
fn printed<T: ?Sized>(
    memo: &mut Memo<T, (Typographer, Arc<T>)>,
    words: &Arc<T>,
    typographer: Typographer,
    set: fn(Typographer, &Arc<T>) -> Arc<T>,
) -> Arc<T> {
    if let Some((by, known)) = memo.get(words)
        && *by == typographer
    {
        return known.clone();
    }
    let made = set(typographer, words);
    memo.put(words, (typographer, made.clone()));
    made
}
