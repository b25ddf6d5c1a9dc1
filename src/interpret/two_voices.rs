//! Which bars are set in two voices, hands up and feet down.

use crate::interpret::bar_draft::{BarDraft, Tie};
use crate::interpret::divisions::{lcm, position};
use crate::interpret::place::LimbStrike;
use crate::interpret::setup::Voices;
use crate::score::kit::Limb;
use crate::score::{BlockWord, Kit, Time};
use std::collections::BTreeSet;
use std::ops::Bound;

/// In which bars hands and feet are set apart.
///
/// Asked for by `voices:` or by rows `hands` and `feet`; else a groove that has both sets them
/// apart, and any other block only where one bar calls for it.
pub(crate) fn apart(
    drafts: &[BarDraft],
    word: BlockWord,
    asked: Voices,
    named: bool,
    kit: &Kit,
) -> Vec<bool> {
    let all = |apart: bool| vec![apart; drafts.len()];
    match asked {
        Voices::One => return all(false),
        Voices::Two => return all(true),
        Voices::ByBar => {
            let apart = drafts.iter().map(|draft| calls_for_two(draft, kit)).collect();
            return joined_over_barlines(drafts, apart);
        }
        Voices::Auto if named => return all(true),
        Voices::Auto => {}
    }
    let has = |limb: Limb| drafts.iter().flat_map(all_strikes).any(|(_, b)| b.limb == limb);
    let both = has(Limb::Hands) && has(Limb::Feet);
    let called_for = || drafts.iter().any(|draft| calls_for_two(draft, kit));
    let under_slashes = has(Limb::Feet) && drafts.iter().any(has_feet_under_slashes);
    all(under_slashes || both && (word == BlockWord::Groove || called_for()))
}

/// Whether a foot strikes with a beat slash of the hands, which would go for it in one voice.
fn has_feet_under_slashes(draft: &BarDraft) -> bool {
    let hits = || draft.rows.iter().flat_map(|row| &row.hits);
    let slashes: BTreeSet<Time> =
        hits().filter(|hit| hit.cell.strikes.is_empty()).map(|hit| hit.at).collect();
    hits().any(|hit| {
        let feet = hit.cell.strikes.iter().any(|strike| strike.limb == Limb::Feet);
        feet && slashes.contains(&hit.at)
    })
}

/// Bars over whose barline a hit goes on are set alike, so that it stays in its voice.
fn joined_over_barlines(drafts: &[BarDraft], mut apart: Vec<bool>) -> Vec<bool> {
    let goes_on = |draft: &BarDraft| {
        let mut hits = draft.rows.iter().flat_map(|row| &row.hits);
        hits.any(|hit| hit.tie != Tie::None && hit.until == Some(draft.length))
    };
    let joined: Vec<bool> = drafts.iter().map(goes_on).collect();
    let mut join = |before: usize| {
        if joined.get(before) == Some(&true)
            && let Some([a, b]) = apart.get_mut(before..before + 2)
        {
            let either = *a || *b;
            (*a, *b) = (either, either);
        }
    };
    (0..drafts.len()).for_each(&mut join);
    (0..drafts.len()).rev().for_each(&mut join);
    apart
}

/// Whether a bar is not to be read in one voice: a hand and a foot strike together in a beat in
/// which their rhythms differ, or divide a beat so that they meet only on a grid finer than either;
/// or one strikes while the other holds a hit. A crash with the kick under it is one sound and no
/// meeting.
fn calls_for_two(draft: &BarDraft, kit: &Kit) -> bool {
    let times = |limb: Limb| -> BTreeSet<Time> {
        all_strikes(draft).filter(|(_, b)| b.limb == limb).map(|(at, _)| at).collect()
    };
    let (hands, feet) = (times(Limb::Hands), times(Limb::Feet));
    if cuts_a_hold(draft, &hands, &feet) {
        return true;
    }
    let crashes: BTreeSet<Time> =
        all_strikes(draft).filter(|(_, b)| kit.is_crash(b.instrument)).map(|(at, _)| at).collect();
    beats(draft).any(|(start, end)| {
        let [hands, feet] = [&hands, &feet].map(|times| times.range(start..end));
        let kicked = |at: &Time| feet.clone().any(|foot| foot == at);
        let grid = |mut times: std::collections::btree_set::Range<'_, Time>| {
            times.try_fold(1, |grid, at| lcm(grid, position(*at, start, end - start).1))
        };
        let differ = !hands.clone().eq(feet.clone());
        let meet = hands.clone().any(|at| kicked(at) && !crashes.contains(at));
        let crossed = match (grid(hands), grid(feet)) {
            (Some(hands), Some(feet)) => lcm(hands, feet).is_none_or(|both| both > hands.max(feet)),
            (None, _) | (_, None) => false,
        };
        differ && (meet || crossed)
    })
}

/// Whether one limb strikes while the other holds a hit.
fn cuts_a_hold(draft: &BarDraft, hands: &BTreeSet<Time>, feet: &BTreeSet<Time>) -> bool {
    let hits = draft.rows.iter().flat_map(|row| &row.hits);
    let mut held = hits.filter_map(|hit| hit.until.filter(|_| hit.held).map(|until| (hit, until)));
    held.any(|(hit, until)| {
        let inside = (Bound::Excluded(hit.at), Bound::Excluded(until));
        hit.at < until
            && hit.cell.strikes.iter().any(|strike| match strike.limb {
                Limb::Hands => feet.range(inside).next().is_some(),
                Limb::Feet => hands.range(inside).next().is_some(),
            })
    })
}

/// Start and end of each beat of a bar.
fn beats(draft: &BarDraft) -> impl Iterator<Item = (Time, Time)> {
    let mut at = Time::ZERO - draft.offset;
    draft.meter.beats().into_iter().map(move |beat| {
        let start = at;
        at += beat;
        (start, at)
    })
}

fn all_strikes(draft: &BarDraft) -> impl Iterator<Item = (Time, &LimbStrike)> {
    let hits = draft.rows.iter().flat_map(|row| row.hits.iter());
    hits.flat_map(|hit| hit.cell.strikes.iter().map(move |b| (hit.at, b)))
}
