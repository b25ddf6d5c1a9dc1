//! Blocks that others can be made from.

use super::codes;
use super::hands;
use super::phrase::Phrase;
use crate::interpret::keys::KeySetting;
use crate::score::settings::StickRule;
use crate::score::{Block, BlockWord, Kit, Span, Spanned};
use crate::source::{Diagnostics, nearest, say};
use std::collections::HashMap;
use std::sync::Arc;

/// Most notes and bars of a block that others are made from.
const MOST_NOTES: usize = 4_000;
const MOST_BARS: usize = 512;

/// A block that others can be made from.
#[derive(Clone, Debug)]
pub(crate) struct Known {
    pub(crate) word: BlockWord,
    pub(crate) name: String,
    /// Its name in lower case, by which it is found.
    pub(crate) key: Arc<str>,
    pub(crate) title: Option<String>,
    /// Its own keys, but for the rule of its sticking.
    pub(crate) keys: Vec<KeySetting>,
    pub(crate) block: Arc<Block>,
    /// The rule all its letters were made by.
    pub(crate) hands: Option<StickRule>,
    /// The keys under the name of each player, where it names players.
    pub(crate) players: Vec<Vec<KeySetting>>,
}

/// Blocks with a name, by that name in lower case.
#[derive(Debug, Default)]
pub(crate) struct Library {
    blocks: HashMap<Arc<str>, Arc<Known>>,
    /// Those that are not among them yet: most files make nothing from anything.
    kept: Vec<Arc<Known>>,
    /// Names of blocks further down.
    later: Arc<[String]>,
    /// What was asked for since it was last told.
    asked: Vec<AskedFor>,
    /// Which of so many players is asked for.
    player: usize,
    players: usize,
}

/// A name that was asked for, in lower case, and the block it was found to be.
#[derive(Clone, Debug)]
pub(crate) struct AskedFor {
    name: String,
    known: Option<Arc<Known>>,
}

/// A block that has a name, for others to be made from, with its own keys but for the place it is printed at.
pub(super) fn known(
    block: &Arc<Block>,
    name: Option<&String>,
    keys: Vec<KeySetting>,
    hands: Option<StickRule>,
    players: &[Vec<KeySetting>],
) -> Option<Arc<Known>> {
    let name = name?.clone();
    Some(Arc::new(Known {
        word: block.word,
        key: name.to_lowercase().into(),
        name,
        title: block.title.clone(),
        keys,
        block: block.clone(),
        hands,
        players: players.to_vec(),
    }))
}

impl AskedFor {
    /// The name, in lower case.
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// What was found.
    pub(crate) fn found(&self) -> Option<&Arc<Known>> {
        self.known.as_ref()
    }
}

impl Library {
    /// A library of a file with blocks of these names, of which none has been read.
    pub(crate) fn new(later: Arc<[String]>) -> Self {
        Self { later, ..Self::default() }
    }

    /// Keeps a block that has a name; the first of a name stays.
    pub(crate) fn keep(&mut self, known: Arc<Known>) {
        self.kept.push(known);
    }

    fn by_name(&mut self, name: &str) -> Option<&Arc<Known>> {
        for known in self.kept.drain(..) {
            self.blocks.entry(known.key.clone()).or_insert(known);
        }
        self.blocks.get(name)
    }

    /// From here on blocks are given as one of so many players plays them.
    pub(crate) fn ask_for(&mut self, player: usize, players: usize) {
        (self.player, self.players) = (player, players);
    }

    /// Whether blocks have several players.
    pub(crate) fn asks_for_several(&self) -> bool {
        self.players > 1
    }

    /// A block by its name, without a fault where there is none.
    pub(crate) fn quietly(&mut self, name: &Spanned<String>) -> Option<Arc<Known>> {
        self.by_name(&name.value.to_lowercase()).cloned()
    }

    /// What was asked for since it was last told.
    pub(crate) fn asked(&self) -> &[AskedFor] {
        &self.asked
    }

    /// What was asked for since this was called before.
    pub(crate) fn told(&mut self) -> Vec<AskedFor> {
        std::mem::take(&mut self.asked)
    }

    /// Whether who asks again is given the same.
    pub(crate) fn gives(&mut self, asked: &AskedFor) -> bool {
        match (self.by_name(&asked.name), &asked.known) {
            (Some(now), Some(then)) => Arc::ptr_eq(now, then),
            (None, None) => true,
            (Some(_), None) | (None, Some(_)) => false,
        }
    }

    /// A block by its name; a fault where there is none above.
    pub(crate) fn known(
        &mut self,
        what: &str,
        name: &Spanned<String>,
        diagnostics: &mut Diagnostics,
    ) -> Option<Arc<Known>> {
        let wanted = name.value.to_lowercase();
        let known = self.by_name(&wanted).cloned();
        self.asked.push(AskedFor { name: wanted.clone(), known: known.clone() });
        if let Some(known) = known {
            let count = known.block.parts().count();
            if count != self.players {
                let players = |count| say::several(count, "player");
                diagnostics
                    .error(
                        name.span,
                        format!(
                            "{what}: `{}` has {} where the block before has {}",
                            name.value,
                            players(count),
                            players(self.players)
                        ),
                    )
                    .code(codes::PLAYERS_APART)
                    .mend("join blocks of as many players, or write out what the others play");
                return None;
            }
            return Some(known.of_player(self.player));
        }
        let fault = diagnostics
            .error(name.span, format!("{what}: no block above is named `{}`", name.value))
            .code(codes::BLOCK_UNKNOWN)
            .elsewhere();
        if self.later.contains(&wanted) {
            let name = &name.value;
            fault.mend(format!("a block is made from what stands above it; move `{name}` up"));
            return None;
        }
        let mut names: Vec<&str> = self.blocks.keys().map(AsRef::as_ref).collect();
        names.sort_unstable();
        match nearest(&wanted, names) {
            Some(near) => fault.replace(name.span, &near, format!("did you mean `{near}`?")),
            None => {
                fault.mend("give the block to start from a name, as `fill gallop \"Gallop home\"`")
            }
        }
        None
    }
}

impl Known {
    /// Its music on a kit.
    pub(crate) fn phrase(
        &self,
        what: &str,
        kit: &Kit,
        span: Span,
        diagnostics: &mut Diagnostics,
    ) -> Option<Phrase> {
        let name = &self.name;
        match Phrase::of(&self.block.part, kit) {
            Ok(phrase) if phrase.notes.len() > MOST_NOTES || phrase.bars.len() > MOST_BARS => {
                let message = format!(
                    "{what}: `{name}` is longer than {MOST_BARS} bars or {MOST_NOTES} notes"
                );
                diagnostics
                    .error(span, message)
                    .code(codes::PARENT_TOO_LONG)
                    .mend("take a shorter block");
                None
            }
            Ok(phrase) => Some(phrase),
            Err(instrument) => {
                let message =
                    format!("{what}: `{name}` plays {instrument}, which this kit does not have");
                diagnostics
                    .error(span, message)
                    .code(codes::PARENT_INSTRUMENT)
                    .mend("add it to the kit above, or move the block over that kit");
                None
            }
        }
    }

    /// Its keys, under those that a block made from it has itself.
    pub(crate) fn keys_under(&self, own: &[KeySetting]) -> Vec<KeySetting> {
        let mut keys = self.keys.clone();
        for line in own {
            keys.retain(|known| known.name() != line.name());
            keys.push(line.clone());
        }
        keys
    }
}

/// Whether two are one block, or neither is there.
pub(crate) fn are_one(a: Option<&Arc<Known>>, b: Option<&Arc<Known>>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => Arc::ptr_eq(a, b),
        (None, None) => true,
        (Some(_), None) | (None, Some(_)) => false,
    }
}

/// Gives a phrase the letters of a rule, where there is one to be made anew.
pub(crate) fn stick_anew(phrase: &mut Phrase, kit: &Kit, rule: &mut Option<StickRule>) {
    if let Some(rule) = rule.take() {
        hands::stick(phrase, kit, rule);
    }
}
