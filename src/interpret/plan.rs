//! What a block is to become before its bars are made: its sets cut into bars, and the letters that
//! are to be made for it.

use super::keys::{self, Scope};
use super::players::{Share, ShareRows};
use super::rows::{Before, PlannedSet, SetPlace};
use super::setup::Setup;
use super::written::{CrossedStrike, SetOfRows, StickRequest};
use crate::score::BlockWord;
use crate::score::settings::CountDisplay;
use crate::source::Diagnostics;

/// The sets of a block, cut into bars, for each of its players. What is said before the first player is
/// said once, of the first of them.
pub(super) fn planned<'a>(
    shares: &mut [Share<'a>],
    found: &mut [Diagnostics],
) -> Vec<Vec<PlannedSet<'a>>> {
    let count = shares.first().map_or(0, |share| share.block.sets.len());
    let mut plans: Vec<Plan<'a>> = shares.iter().map(Plan::new).collect();
    let mut first = 0;
    for index in 0..count {
        for ((share, plan), found) in shares.iter_mut().zip(&mut plans).zip(&mut *found) {
            plan.set(share, (index, first), found);
        }
        let bars = plans.iter().filter_map(|plan| plan.sets.last()).map(|set| set.bars).max();
        let bars = bars.unwrap_or_default();
        for set in plans.iter_mut().filter_map(|plan| plan.sets.last_mut()) {
            if set.silent {
                set.bars = bars;
            }
        }
        first += bars;
    }
    plans.into_iter().map(|plan| plan.sets).collect()
}

/// The sets of one player, as they are cut.
struct Plan<'a> {
    setup: Setup,
    sets: Vec<PlannedSet<'a>>,
    before: Before<'a>,
}

impl<'a> Plan<'a> {
    fn new(share: &Share<'a>) -> Self {
        let setup = Setup::clone(&share.around.setup);
        Self { setup, sets: Vec::new(), before: Before::default() }
    }

    /// Cuts the set of an index, whose first bar is of this number in the block.
    fn set(
        &mut self,
        share: &mut Share<'a>,
        (index, first): (usize, usize),
        diagnostics: &mut Diagnostics,
    ) {
        let Some(shared) = share.block.sets.get(index) else { return };
        let scope = if index == 0 { Scope::Block } else { Scope::LaterSet };
        let mut keys = keys::read(&shared.settings, scope, &share.around.systems, diagnostics);
        keys.extend(share.keys.iter().filter(|_| index == 0).cloned());
        keys.iter().for_each(|line| line.apply(&mut self.setup));
        if index == 0 {
            share.take_kit(self.setup.kit.as_ref(), diagnostics);
        }
        let mut set = PlannedSet::new(
            &share.rows(index),
            (self.setup.clone(), keys),
            SetPlace { kit: &share.around.kit, first, span: share.span() },
            &mut self.before,
            diagnostics,
        );
        set.silent = share.is_silent(index);
        if share.rows == ShareRows::Band {
            // Small notes have nothing under them.
            set.setup.counts = CountDisplay::None;
            set.setup.stick = None;
        }
        self.sets.push(set);
    }
}

/// The letters that are to be made for a block.
pub(super) fn stick_request(
    share: &Share<'_>,
    sets: &[PlannedSet<'_>],
    bars: usize,
    crossed: Vec<CrossedStrike>,
) -> Option<StickRequest> {
    let first = sets.first()?;
    let asked_here = first.has("stick");
    let rule =
        first.setup.stick.filter(|_| asked_here || share.block.word.value != BlockWord::Groove)?;
    let rows = |(index, set): (usize, &PlannedSet<'_>)| {
        let asked = share.settings(index).iter().find(|s| keys::is(s, "stick"));
        SetOfRows {
            bars: set.first..(set.first + set.bars).min(bars),
            written: set.rows.iter().any(|r| r.kind.hand_letters().is_some()),
            asked: asked.map(|s| s.key.span.join(s.value.span)),
            end: share.rows(index).iter().map(|r| r.span.end()).max(),
        }
    };
    let sets = sets.iter().enumerate().map(rows).collect();
    Some(StickRequest { rule, asked_here, span: share.block.span, sets, crossed })
}
