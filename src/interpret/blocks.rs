//! A block that is written: what each player plays, put together.

use super::assemble;
use super::keys::KeySetting;
use super::plan::{planned, stick_request};
use super::players::{Share, join, shares};
use super::rows::PlannedSet;
use super::surroundings::Surroundings;
use super::written::{StickRequest, WrittenBlock};
use super::{band, codes, form, phrases, same_bars};
use crate::score::settings::PartSettings;
use crate::score::{Block, PlayerPart};
use crate::source::Diagnostics;
use crate::syntax::tree;
use std::sync::Arc;

/// Reads one block of music as it is written.
///
/// A rule for stickings in the header holds for blocks with a number; a groove has to ask for
/// itself.
pub(super) fn block(
    block: &tree::Block,
    around: &Surroundings,
    diagnostics: &mut Diagnostics,
) -> WrittenBlock {
    let mut shares = shares(block, around, diagnostics);
    let under = add_bands(&mut shares);
    let players = shares.len() - under.len();
    let mut found: Vec<Diagnostics> = shares.iter().map(|_| Diagnostics::default()).collect();
    let mut plans = planned(&mut shares, &mut found);
    if shares.len() > 1 && bars_of(&plans) > MOST_BARS {
        report_too_long(block, diagnostics);
        plans.iter_mut().for_each(Vec::clear);
    }
    let settings = plans.first().and_then(|sets| sets.first());
    let settings = settings.map_or(&*around.setup, |set| &set.setup).block_settings();
    let parts = shares.iter().zip(&plans).zip(&mut found);
    let (mut parts, mut sticking): (Vec<PlayerPart>, Vec<Option<StickRequest>>) =
        parts.map(|((share, sets), found)| part(share, sets, found)).unzip();
    // What is written once for all players is told once.
    found.into_iter().for_each(|found| diagnostics.absorb_new(found));
    let bands = parts.split_off(players);
    for (index, band) in under.into_iter().zip(&bands) {
        if let Some((share, part)) = shares.get(index).zip(parts.get_mut(index)) {
            band::set_over(part, band, share.called(), diagnostics);
        }
    }
    shares.truncate(players);
    sticking.truncate(players);
    plans.truncate(players);
    let empty =
        || (PlayerPart::alone(PartSettings::default(), around.kit.clone(), Vec::new()), Vec::new());
    let (mut part, mut others) = join(&shares, parts, diagnostics).unwrap_or_else(empty);
    if let Some(sets) = plans.first() {
        form::check(&part.bars, sets, diagnostics);
    }
    for part in std::iter::once(&mut part).chain(&mut others) {
        phrases::carry(&mut part.bars, diagnostics);
    }
    // Letters that are made come later; a sign is not to hide that they differ.
    for (part, sticking) in std::iter::once(&mut part).chain(&mut others).zip(&sticking) {
        if Option::is_none(sticking) {
            same_bars::keep_true_repeats(&mut part.bars);
        }
    }
    let music = Block {
        word: block.word.value,
        name: block.name.as_ref().map(|n| n.value.clone()),
        parent: None,
        plays: Arc::default(),
        title: block.title.as_ref().map(|t| around.setup.typographer.words(&t.value)),
        settings,
        part,
        others,
        span: block.span,
    };
    let own = plans.into_iter().next().and_then(|sets| sets.into_iter().next());
    let (keys, players) = keys(own.map(|set| set.keys).unwrap_or_default(), shares);
    WrittenBlock { block: Arc::new(music), whole: block.whole(), keys, players, sticking }
}

/// The keys of a block, and those under each of its players, which are not repeated for the block.
fn keys(own: Vec<KeySetting>, shares: Vec<Share<'_>>) -> (Vec<KeySetting>, Vec<Vec<KeySetting>>) {
    let under = |share: Share<'_>| share.player.map(|_| share.keys);
    let players: Vec<Vec<KeySetting>> = shares.into_iter().filter_map(under).collect();
    let of_player = |line: &KeySetting| {
        players.first().is_some_and(|keys| keys.iter().any(|own| own.name() == line.name()))
    };
    let keys = own.into_iter().filter(|line| line.name() != "stick" && !of_player(line)).collect();
    (keys, players)
}

fn report_too_long(block: &tree::Block, diagnostics: &mut Diagnostics) {
    diagnostics
        .error(
            block.span,
            format!("the players of this block have more than {MOST_BARS} bars together"),
        )
        .code(codes::BLOCK_TOO_LONG)
        .mend("break it into several blocks");
}

/// Adds what the band plays over some of the shares behind all of them; the shares it plays over, by their
/// places.
fn add_bands(shares: &mut Vec<Share<'_>>) -> Vec<usize> {
    let of_band = shares.iter().enumerate().filter_map(|(i, share)| Some((i, share.of_band()?)));
    let (under, bands): (Vec<usize>, Vec<Share<'_>>) = of_band.unzip();
    shares.extend(bands);
    under
}

/// Most bars of all players of a block, who all have a bar for each that one of them writes.
const MOST_BARS: usize = 100_000;

/// The bars of all players.
fn bars_of(plans: &[Vec<PlannedSet<'_>>]) -> usize {
    plans.iter().flatten().map(|set| set.bars).sum()
}

/// What one player plays, and the letters that are to be made for it.
fn part(
    share: &Share<'_>,
    sets: &[PlannedSet<'_>],
    diagnostics: &mut Diagnostics,
) -> (PlayerPart, Option<StickRequest>) {
    let settings = sets.first().map_or(&*share.around.setup, |set| &set.setup).part_settings();
    let (bars, crossed) = assemble::bars(share, sets, settings.drummers, diagnostics);
    if settings.as_played {
        diagnostics.retain(|found| found.code != codes::HANDS_TOO_FEW);
    }
    if sets.iter().any(|set| set.setup.meter_lost) {
        diagnostics.retain(|found| !codes::OF_A_LOST_TIME.contains(&found.code));
    }
    let sticking = stick_request(share, sets, bars.len(), crossed);
    let kit = share.around.kit.clone();
    (PlayerPart { player: share.printed(), settings, kit, bars }, sticking)
}
