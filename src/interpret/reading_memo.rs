//! Blocks that were read before.

use super::counting::CountingSystems;
use super::last_reading::LastReading;
use super::names::NamesMemo;
use super::read_block::ReadBlock;
use super::setup::Setup;
use super::surroundings::Surroundings;
use super::typography::Typographer;
use crate::memo::{Memo, Shared};
use crate::score::{Inline, Kit, Placed, ProseBlock};
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
    /// What was read last.
    pub(super) last: Option<LastReading>,
    /// Whether all of it was read this time.
    pub(super) all: bool,
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
            last: None,
            all: false,
        }
    }

    /// Forgets what was not asked for since this was called before.
    pub fn end_turn(&mut self) {
        if !std::mem::take(&mut self.all) {
            return;
        }
        self.blocks.end_turn();
        self.setups.end_turn();
        self.systems.end_turn();
        self.kits.end_turn();
        self.named_kits.end_turn();
        self.titles.end_turn();
        self.headings.end_turn();
        self.prose.end_turn();
    }

    /// Forgets what was made of items, but for those that are among new ones too.
    pub(super) fn forget<'i>(
        &mut self,
        old: impl Iterator<Item = &'i tree::Item>,
        new: &[&tree::Item],
    ) {
        for item in old.filter(|old| !new.iter().any(|new| new.is(old))) {
            match item {
                tree::Item::Heading(heading) => self.headings.forget(&heading.text),
                tree::Item::Prose(prose) => self.prose.forget(&prose.value),
                tree::Item::Block(block) => self.blocks.forget(&block.value),
                tree::Item::Include(_) | tree::Item::FileStart(_) | tree::Item::FileEnd => {}
            }
        }
    }

    /// Whether it keeps what is read.
    pub(super) fn keeps(&self) -> bool {
        self.blocks.keeps()
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

    /// What a block meant where the same held.
    pub(super) fn known(
        &mut self,
        block: &Placed<tree::Block>,
        around: &Surroundings,
    ) -> Option<&ReadBlock> {
        let (held, read) = self.blocks.get(&block.value)?;
        held.is(around).then_some(read)
    }
}

impl Surroundings {
    /// Whether these are the same; equal ones of one memo are.
    pub(super) fn is(&self, other: &Self) -> bool {
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
