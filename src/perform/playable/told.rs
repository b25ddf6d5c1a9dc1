//! What can't be played, as warnings.

use super::found::Found;
use super::limbs::Limbs;
use super::passage::{Pace, Passage, fastest};
use super::places;
use crate::memo::Memo;
use crate::parallel::{Each, Stop, map_until};
use crate::perform::timeline::Timeline;
use crate::rope::Rope;
use crate::score::settings::Limits;
use crate::score::{Block, Item, PlacedBlock, PlayerPart, Score, Span};
use crate::source::{Diagnostics, Source};
use std::ops::Range;
use std::sync::Arc;

/// How much faster than it keeps up a limb can strike twice, letting the stick or the beater rebound, and
/// a foot, which has no fingers to help it, four times. Common practice, no source.
const HAND_PACE: Pace = Pace { limbs: 1, rebound: 3.0, burst: f64::INFINITY };
const FOOT_PACE: Pace = Pace { limbs: 1, rebound: 2.0, burst: 1.5 };
/// Two limbs that share strokes as well as they can.
const SHARED: Pace = Pace { limbs: 2, rebound: f64::INFINITY, burst: f64::INFINITY };

/// Whether a drummer can play a block.
#[must_use]
pub fn can_play(block: &Block) -> bool {
    block.parts().all(|part| judged(block, part).is_empty())
}

/// What was found in blocks before. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct PlayableMemo {
    blocks: Memo<Block, Arc<Vec<Found>>>,
    last: Option<LastFound>,
    /// Whether all blocks were asked for this time.
    all: bool,
}

/// What was found in a score.
#[derive(Clone, Debug)]
struct LastFound {
    items: Rope<Item>,
    /// What was found, by the index of each block among the items, but for those in which nothing was.
    found: FoundThere,
}

/// What was found in blocks, by their indices among the items.
type FoundThere = Vec<(usize, Arc<Vec<Found>>)>;

impl PlayableMemo {
    /// One that keeps what is found.
    #[must_use]
    pub fn keeping() -> Self {
        Self { blocks: Memo::keeping(), ..Self::default() }
    }

    /// Forgets what was not asked for since this was called before.
    pub fn end_turn(&mut self) {
        if std::mem::take(&mut self.all) {
            self.blocks.end_turn();
        }
    }

    /// What is found in the blocks of a score; blocks that are as they were are not looked at again.
    fn found(&mut self, score: &Score, stop: Stop<'_>) -> Option<FoundThere> {
        let count = score.answers.unwrap_or(score.items.len());
        let last = self.last.take().filter(|_| count == score.items.len());
        let found = match last {
            Some(LastFound { items, found }) => {
                let change = score.items.changed_wherever(&items, Item::is);
                let gone = items.range(change.old.clone()).filter_map(Item::block);
                gone.for_each(|block| self.blocks.forget(&block.block));
                let new = self.found_in(score, change.new.clone(), stop)?;
                let kept = found.into_iter().filter(|(index, _)| !change.old.contains(index));
                let kept = kept.map(|(index, found)| (change.moved(index), found));
                let mut all: FoundThere = kept.chain(new).collect();
                all.sort_by_key(|(index, _)| *index);
                all
            }
            None => {
                let found = self.found_in(score, 0..count, stop)?;
                self.all = true;
                found
            }
        };
        if self.blocks.keeps() && count == score.items.len() {
            self.last = Some(LastFound { items: score.items.clone(), found: found.clone() });
        }
        Some(found)
    }

    /// What is found in the blocks among a range of items.
    fn found_in(
        &mut self,
        score: &Score,
        range: Range<usize>,
        stop: Stop<'_>,
    ) -> Option<FoundThere> {
        let items = score.items.range(range.clone()).zip(range);
        let blocks = items.filter_map(|(item, index)| Some((index, item.block()?)));
        let known = |(index, block): (usize, _)| (index, block, self.known(block));
        let mut all: Vec<_> = blocks.map(known).collect();
        let new = all.iter_mut().filter(|(_, _, known)| known.is_none()).collect();
        let new = map_until(stop, Each::Small, new, |place: &mut (_, &PlacedBlock, Option<_>)| {
            place.2 = Some(Arc::new(found(place.1)));
            &*place
        })?;
        for (_, block, found) in new {
            if let Some(found) = found {
                self.blocks.put(&block.block, found.clone());
            }
        }
        let all = all.into_iter().filter_map(|(index, _, found)| Some((index, found?)));
        Some(all.filter(|(_, found)| !found.is_empty()).collect())
    }

    fn known(&mut self, block: &PlacedBlock) -> Option<Arc<Vec<Found>>> {
        self.blocks.get(&block.block).cloned()
    }
}

/// Warns of what can't be played in a score.
pub fn check(source: &Source, score: &Score, diagnostics: &mut Diagnostics) {
    // Nobody stops it.
    let _ = check_again(source, score, &mut PlayableMemo::default(), &|| false, diagnostics);
}

/// The same, where blocks may have been looked at before; nothing where the work was stopped.
pub fn check_again(
    source: &Source,
    score: &Score,
    memo: &mut PlayableMemo,
    stop: Stop<'_>,
    diagnostics: &mut Diagnostics,
) -> Option<()> {
    for (index, found) in memo.found(score, stop)? {
        let Some(block) = score.items.get(index).and_then(Item::block) else { continue };
        for Found { code, span, message, mend } in found.iter().cloned() {
            let span = span.moved(block.at);
            let head_span = block.span.moved(block.at);
            // Marks stand under one line. What is made has no cells of its own to mark.
            let line = source.line_at(span.start());
            let span = Span::new(span.start(), span.end().min(line.end().max(span.start())));
            let head = source.slice(head_span);
            let what = match head.split('"').next() {
                Some(head) if span == head_span => format!("{}, ", head.trim()),
                _ => String::new(),
            };
            diagnostics.warning(span, format!("{what}{message}")).code(code).mend(mend);
        }
    }
    Some(())
}

/// What can't be played in a block, where it is not said that it was played.
fn found(block: &Block) -> Vec<Found> {
    // Who of several drummers plays what is not known.
    let judged_of = |part: &&PlayerPart| !part.settings.as_played && part.settings.drummers == 1;
    block.parts().filter(judged_of).flat_map(|part| judged(block, part)).collect()
}

/// What a player can't play: one finding for each passage of a limb.
fn judged(block: &Block, part: &PlayerPart) -> Vec<Found> {
    let timeline = Timeline::of_player(block, part);
    let mut found = places::check(part, &timeline);
    if !timeline.tempo_known {
        return found;
    }
    let limits = part.settings.limits;
    let limbs = Limbs::of(part, &timeline);
    let many = part.bars.len() > 1;
    let mend = "slow it down, leave notes out or share them out to both hands, or say what a hand can do, as `fastest-hand: 10`; where it was played so, write `as-played: yes`";
    let hands = hands(&limbs, limits).into_iter();
    found.extend(hands.map(|(name, p)| p.told(name, (limits.hand, "fastest-hand"), many, mend)));
    let mend = "slow it down, leave notes out, or say what the foot can do, as `fastest-foot: 9`; where it was played so, write `as-played: yes`";
    let feet = feet(&limbs, limits).into_iter();
    found.extend(feet.map(|(name, p)| p.told(name, (limits.foot, "fastest-foot"), many, mend)));
    found
}

/// Passages too fast for the hands, and whose they are.
fn hands(limbs: &Limbs, limits: Limits) -> Vec<(&'static str, Passage)> {
    let right = fastest(&limbs.right, limits.hand, HAND_PACE);
    let left = fastest(&limbs.left, limits.hand, HAND_PACE);
    match (right, left) {
        (Some(right), Some(left)) if right.meets(&left) => {
            vec![("each hand", right.faster(left))]
        }
        (None, None) => {
            let shared = fastest(&limbs.hands, limits.hand, SHARED);
            shared.map(|p| ("each hand, even at its best,", p)).into_iter().collect()
        }
        (right, left) => {
            let right = right.map(|p| ("the right hand", p));
            right.into_iter().chain(left.map(|p| ("the left hand", p))).collect()
        }
    }
}

/// Passages too fast for the feet, and whose they are.
fn feet(limbs: &Limbs, limits: Limits) -> Vec<(&'static str, Passage)> {
    let (kick, pace) = match limits.double_pedal {
        true => ("each foot, even at its best,", SHARED),
        false => ("the foot on the kick", FOOT_PACE),
    };
    let feet = [
        (&limbs.kick, kick, pace),
        (&limbs.right_foot, "the right foot", FOOT_PACE),
        (&limbs.left_foot, "the left foot", FOOT_PACE),
    ];
    let passage = |(strokes, name, pace): (&Vec<_>, &'static str, Pace)| {
        Some((name, fastest(strokes, limits.foot, pace)?))
    };
    feet.into_iter().filter_map(passage).collect()
}
