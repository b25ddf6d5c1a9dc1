//! What a block is to become before its bars are made: its sets cut into bars, and the letters that
//! are to be made for it.

use super::keys::{self, Scope};
use super::rows::{Before, PlannedSet, SetPlace};
use super::setup::Setup;
use super::surroundings::Surroundings;
use super::written::{CrossedStrike, SetOfRows, StickRequest};
use crate::score::BlockWord;
use crate::score::settings::Header;
use crate::source::Diagnostics;
use crate::syntax::tree;

/// The sets of a block, cut into bars.
pub(super) fn planned<'a>(
    block: &'a tree::Block,
    around: &Surroundings,
    diagnostics: &mut Diagnostics,
) -> Vec<PlannedSet<'a>> {
    let mut setup = Setup::clone(&around.setup);
    let mut sets: Vec<PlannedSet<'_>> = Vec::new();
    let mut before = Before::default();
    let mut first = 0;
    for (index, set) in block.sets.iter().enumerate() {
        let scope = if index == 0 { Scope::Block } else { Scope::LaterSet };
        let keys = keys::read(&set.settings, scope, &around.systems, diagnostics);
        keys::apply(&keys, &mut Header::default(), &mut setup);
        let planned = PlannedSet::new(
            set,
            (setup.clone(), keys),
            SetPlace { kit: &around.kit, first, span: block.span },
            &mut before,
            diagnostics,
        );
        first += planned.bars;
        sets.push(planned);
    }
    sets
}

/// The letters that are to be made for a block.
pub(super) fn stick_request(
    block: &tree::Block,
    sets: &[PlannedSet<'_>],
    bars: usize,
    crossed: Vec<CrossedStrike>,
) -> Option<StickRequest> {
    let first = sets.first()?;
    let asked_here = first.has("stick");
    let rule = first.setup.stick.filter(|_| asked_here || block.word.value != BlockWord::Groove)?;
    let rows = |(set, tree): (&PlannedSet<'_>, &tree::RowSet)| {
        let asked = tree.settings.iter().find(|s| keys::is(s, "stick"));
        SetOfRows {
            bars: set.first..(set.first + set.bars).min(bars),
            written: set.rows.iter().any(|r| r.kind.hand_letters().is_some()),
            asked: asked.map(|s| s.key.span.join(s.value.span)),
            end: tree.rows.iter().map(|r| r.span.end).max(),
        }
    };
    let sets = sets.iter().zip(&block.sets).map(rows).collect();
    Some(StickRequest { rule, asked_here, sets, crossed })
}
