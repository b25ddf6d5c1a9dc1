//! Blocks made from blocks of several players: made for each player, and put together.

use super::account::Account;
use super::codes;
use super::library::Known;
use super::text::Plain;
use crate::interpret::keys::KeySetting;
use crate::interpret::request::{Asked, Request};
use crate::score::settings::{PartSettings, StickRule};
use crate::score::{Block, Placed, PlayerPart, Span, Spanned};
use crate::source::{Diagnostics, say};
use std::sync::Arc;

/// The key that says in how many voices music is set: what is made for one player may need others than what is
/// made for another.
const VOICES: &str = "voices";

/// What a request comes to for one player.
pub(super) struct Pass {
    /// Its blocks, with their keys and the rule their letters were made by.
    pub(super) blocks: Vec<(Arc<Block>, Vec<KeySetting>)>,
    pub(super) hands: Option<StickRule>,
    pub(super) plain: Vec<Plain>,
    pub(super) steps: Vec<String>,
    /// The block it is printed for, whose number and title it has.
    pub(super) carried: Option<Arc<Known>>,
}

/// The name of the block that decides who plays: the one that is changed, or the first that is played.
pub(super) fn source_name(request: &Request) -> Option<&Spanned<String>> {
    match &request.asked {
        Asked::Variation(_) | Asked::Series(_) => request.parent.as_ref(),
        Asked::Context(sequence) => sequence.play.first().map(|piece| &piece.name),
    }
}

/// A request as one player of its ground hears it: on that player's kit and staff.
pub(super) fn of_player(
    request: &Placed<Request>,
    ground: &Known,
    player: usize,
) -> Placed<Request> {
    let mut own = request.clone();
    let around = &mut Arc::make_mut(&mut own.value).around;
    let Some(part) = ground.block.parts().nth(player) else { return own };
    if around.kits.iter().any(|(_, kit)| Arc::ptr_eq(kit, &part.kit)) {
        around.kit = part.kit.clone();
    }
    let setup = Arc::make_mut(&mut around.setup);
    let PartSettings {
        staff,
        counts,
        sticking,
        blank,
        rests,
        grace_slurs,
        grace_spread,
        limits,
        as_played,
        drummers,
    } = part.settings.clone();
    (setup.staff, setup.counts, setup.sticking, setup.rests) = (staff, counts, sticking, rests);
    (setup.grace_slurs, setup.limits, setup.blank) = (grace_slurs, limits, blank);
    (setup.as_played, setup.drummers) = (as_played, drummers);
    setup.grace_spread = grace_spread;
    own
}

impl Known {
    /// The same as one of its players plays it.
    pub(super) fn of_player(self: &Arc<Self>, player: usize) -> Arc<Self> {
        match self.block.parts().nth(player) {
            Some(part) if !self.block.others.is_empty() => {
                let block = &*self.block;
                let part = part.clone();
                let alone = block.played_by(part);
                let own = self.players.get(player).map_or(&[][..], Vec::as_slice);
                let keys = self.keys_under(own);
                Arc::new(Self { block: Arc::new(alone), keys, ..Self::clone(self) })
            }
            Some(_) | None => self.clone(),
        }
    }
}

/// Puts together what was made for each player of a ground; nothing where it does not go together.
pub(super) fn join(
    request: &Request,
    ground: Option<&Known>,
    passes: Vec<Pass>,
    diagnostics: &mut Diagnostics,
) -> Option<Pass> {
    let mut passes = passes.into_iter();
    let mut whole = passes.next()?;
    let Some(ground) = ground.filter(|ground| !ground.block.others.is_empty()) else {
        return Some(whole);
    };
    let players: Vec<_> = ground.block.parts().map(|part| part.player.clone()).collect();
    let called = |index: usize| {
        let player = players.get(index).and_then(Option::as_ref);
        player.map_or("", |player| player.name.as_str())
    };
    for (block, keys) in &mut whole.blocks {
        Arc::make_mut(block).part.player = players.first().cloned().flatten();
        share_keys(ground, keys);
    }
    for plain in &mut whole.plain {
        let own = voices(plain).cloned();
        share_keys(ground, &mut plain.keys);
        plain.keys.retain(|line| line.name() != VOICES);
        plain.keys.extend(own);
    }
    whole.steps.insert(0, format!("player \u{201c}{}\u{201d}:", called(0)));
    let mut plain: Vec<Vec<Plain>> = vec![std::mem::take(&mut whole.plain)];
    for (index, pass) in (1..).zip(passes) {
        for ((block, _), (other, _)) in whole.blocks.iter_mut().zip(&pass.blocks) {
            if block.part.bars.len() != other.part.bars.len() {
                diagnostics
                    .error(
                        request.span,
                        format!(
                            "{}: {} comes to {} and {} to {}",
                            request.what,
                            called(0),
                            say::several(block.part.bars.len(), "bar"),
                            called(index),
                            say::several(other.part.bars.len(), "bar")
                        ),
                    )
                    .code(codes::PLAYERS_APART)
                    .mend("change what each player plays in a block of one player");
                return None;
            }
            let player = players.get(index).cloned().flatten();
            let part = PlayerPart { player, ..other.part.clone() };
            Arc::make_mut(block).others.push(part);
        }
        whole.steps.push(format!("player \u{201c}{}\u{201d}:", called(index)));
        whole.steps.extend(pass.steps);
        plain.push(pass.plain);
    }
    whole.plain = together(plain, ground, &called);
    Some(whole)
}

/// Reports the first line that changes nothing for any of so many players; whether there is one.
pub(super) fn report_impossible(
    request: &Request,
    players: usize,
    impossible: Vec<(Span, String, String)>,
    diagnostics: &mut Diagnostics,
) -> bool {
    let of_all = |(span, ..): &&(Span, String, String)| {
        players > 1 && impossible.iter().filter(|(other, ..)| other == span).count() == players
    };
    let Some((span, message, mend)) = impossible.iter().find(of_all) else { return false };
    diagnostics
        .error(*span, format!("{}: {message}", request.what))
        .code(codes::CHANGE_IMPOSSIBLE)
        .mend(mend.clone());
    true
}

/// Takes the keys of the first player out of those of the block.
fn share_keys(ground: &Known, keys: &mut Vec<KeySetting>) {
    for own in ground.players.first().into_iter().flatten() {
        keys.retain(|line| line.name() != own.name());
        keys.extend(ground.keys.iter().filter(|line| line.name() == own.name()).cloned());
    }
}

/// The line of a block that says in how many voices it is set.
fn voices(plain: &Plain) -> Option<&KeySetting> {
    plain.keys.iter().find(|line| line.name() == VOICES)
}

/// The blocks of several players as text: set by set, in each the rows of every player.
fn together<'a>(
    plain: Vec<Vec<Plain>>,
    ground: &Known,
    called: &dyn Fn(usize) -> &'a str,
) -> Vec<Plain> {
    let mut own: Vec<_> = plain.into_iter().map(Vec::into_iter).collect();
    let mut joined = Vec::new();
    while let Some(mut parts) = own.iter_mut().map(Iterator::next).collect::<Option<Vec<Plain>>>() {
        if parts.is_empty() {
            break;
        }
        let sets: Vec<Vec<Vec<String>>> = parts
            .iter()
            .map(|part| part.rows.split(|row| row == "--").map(<[_]>::to_vec).collect())
            .collect();
        let count = sets.first().map_or(0, Vec::len);
        let value = |part: &Plain| voices(part).map(|line| line.value.clone());
        let same_voices = parts.windows(2).all(|pair| match pair {
            [one, other] => value(one) == value(other),
            _ => true,
        });
        let mut rows = Vec::new();
        for set in 0..count {
            if set > 0 {
                rows.push("--".to_owned());
            }
            let is_key = |row: &&String| row.starts_with("time: ");
            let shared = sets.first().and_then(|sets| sets.get(set)).into_iter().flatten();
            rows.extend(shared.filter(is_key).cloned());
            for (index, sets) in sets.iter().enumerate() {
                rows.push(format!("player \"{}\"", called(index)));
                if set == 0 {
                    let keys = ground.players.get(index).into_iter().flatten();
                    let keys = keys.filter(|line| line.name() != VOICES);
                    let own = parts.get(index).and_then(voices).filter(|_| !same_voices);
                    let lines = keys.chain(own);
                    rows.extend(lines.map(|line| format!("  {}: {}", line.name(), line.value)));
                }
                let lines = sets.get(set).into_iter().flatten().filter(|row| !is_key(row));
                rows.extend(lines.map(|row| format!("  {row}")));
            }
        }
        let mut first = parts.swap_remove(0);
        first.rows = rows;
        if !same_voices {
            first.keys.retain(|line| line.name() != VOICES);
        }
        joined.push(first);
    }
    joined
}

/// The account of what was made.
pub(super) fn account(request: &Request, pass: &Pass) -> Account {
    let blocks = Some(pass.plain.clone());
    Account { span: request.whole, steps: pass.steps.clone(), blocks, edits: Vec::new() }
}
