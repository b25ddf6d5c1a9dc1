//! Blocks of several players: what each plays, and what all of them share.

use super::keys::{self, KeySetting, Scope};
use super::surroundings::Surroundings;
use super::{codes, cues};
use crate::score::{
    Bar, Closing, HitsRow, Kit, Mark, Player, PlayerPart, SmallNotes, Span, WordsRow, name_key,
};
use crate::source::{Diagnostics, nearest, say};
use crate::syntax::tree::{self, Content, PlayerRows, Row};
use std::sync::Arc;

/// The names of the players of a file's blocks, in the order in which they come in.
pub fn players(document: &tree::Document) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for item in &document.items {
        let tree::Item::Block(block) = item else { continue };
        for player in &block.players {
            if !names.contains(&player.name.value) {
                names.push(player.name.value.clone());
            }
        }
    }
    names
}

/// What one player has of a block.
pub(super) struct Share<'a> {
    pub(super) block: &'a tree::Block,
    /// The player; nothing where the block names none.
    pub(super) player: Option<&'a PlayerRows>,
    /// It stands first, and has the rows that hold for all.
    pub(super) first: bool,
    /// The keys under the player's name.
    pub(super) keys: Vec<KeySetting>,
    /// What holds for the player.
    pub(super) around: Surroundings,
    /// Which of the player's rows it is of.
    pub(super) rows: ShareRows,
}

/// Rows that are read together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ShareRows {
    /// Those the player plays by.
    Own,
    /// What the band plays over them.
    Band,
}

/// The shares of a block, at least one; what they hold under a kit of their own is looked up.
pub(super) fn shares<'a>(
    block: &'a tree::Block,
    around: &Surroundings,
    diagnostics: &mut Diagnostics,
) -> Vec<Share<'a>> {
    if block.players.is_empty() {
        let around = around.clone();
        let (keys, rows) = (Vec::new(), ShareRows::Own);
        return vec![Share { block, player: None, first: true, keys, around, rows }];
    }
    report_early_rows(block, diagnostics);
    let share = |(index, player): (usize, &'a PlayerRows)| {
        let own: Vec<tree::Setting> =
            player.sets.iter().flat_map(|set| &set.settings).cloned().collect();
        let keys = keys::read(&own, Scope::Player, &around.systems, diagnostics);
        let (first, around, rows) = (index == 0, around.clone(), ShareRows::Own);
        Share { block, player: Some(player), first, keys, around, rows }
    };
    block.players.iter().enumerate().map(share).collect()
}

impl<'a> Share<'a> {
    /// The rows of a set.
    pub(super) fn rows(&self, set: usize) -> Vec<&'a Row> {
        let shared = self.block.sets.get(set).filter(|_| self.first);
        let own = self.player.and_then(|player| player.sets.get(set));
        let is_band = |row: &&Row| matches!(row.content, Content::Cells(HitsRow::Band, _));
        let rows = shared.into_iter().chain(own).flat_map(|set| &set.rows);
        rows.filter(|row| is_band(row) == (self.rows == ShareRows::Band)).collect()
    }

    /// What the band plays over the player's rows, where there is any, to be read as a share of its own.
    pub(super) fn of_band(&self) -> Option<Self> {
        let around =
            Surroundings { kit: Arc::new(SmallNotes::kit_of_band()), ..self.around.clone() };
        let Self { block, player, first, .. } = *self;
        let band = Self { block, player, first, keys: Vec::new(), around, rows: ShareRows::Band };
        let plays = (0..block.sets.len()).any(|set| !band.rows(set).is_empty());
        plays.then_some(band)
    }

    /// The keys that stand in a set for this player alone.
    pub(super) fn settings(&self, set: usize) -> &'a [tree::Setting] {
        let sets = self.player.map_or(&self.block.sets, |player| &player.sets);
        sets.get(set).map_or(&[], |set| &set.settings)
    }

    /// Whether the player of several is silent in a set.
    pub(super) fn is_silent(&self, set: usize) -> bool {
        let plays = |row: &Row| !matches!(row.content, Content::Words(..));
        let alone = self.player.is_none() && self.rows == ShareRows::Own;
        !alone && !self.rows(set).into_iter().any(plays)
    }

    /// The player as printed.
    pub(super) fn printed(&self) -> Option<Player> {
        let name = &self.player?.name.value;
        let words = |text: &str| self.around.setup.typographer.words(text);
        let asked = self.keys.iter().find(|line| line.name() == "short");
        let short = asked.map_or_else(|| shortened(name), |line| line.value.trim().to_owned());
        Some(Player { name: words(name), short: words(&short) })
    }

    /// How messages call the player.
    pub(super) fn called(&self) -> &'a str {
        self.player.map_or("", |player| player.name.value.as_str())
    }

    /// Where messages about the player point to.
    pub(super) fn span(&self) -> Span {
        self.player.map_or(self.block.span, |player| player.name.span)
    }

    /// Takes the kit the player asks for.
    pub(super) fn take_kit(&mut self, asked: Option<&(String, Span)>, found: &mut Diagnostics) {
        let Some((name, span)) = asked.filter(|_| self.rows == ShareRows::Own) else { return };
        match self.around.kits.iter().find(|(known, _)| *known == name_key(name)) {
            Some((_, kit)) => self.around.kit = Arc::<Kit>::clone(kit),
            None => {
                let fault = found
                    .error(*span, format!("no kit above is called `{name}`"))
                    .code(codes::KIT_UNKNOWN);
                let known = self.around.kits.iter().map(|(name, _)| name.as_str());
                match nearest(name, known) {
                    Some(near) => fault.replace(*span, &near, format!("did you mean `{near}`?")),
                    None => fault.mend(format!(
                        "write a block `kit {name}` above, with a row for each letter"
                    )),
                };
            }
        }
    }
}

/// Letters of a short name that is made.
const SHORT: usize = 2;

/// A short name where none is written: the first letters of one word, the first of each of several.
fn shortened(name: &str) -> String {
    let mut words = name.split_whitespace();
    match (words.next(), words.next()) {
        (Some(one), None) if one.chars().count() <= SHORT + 2 => one.to_owned(),
        (Some(one), None) => format!("{}.", one.chars().take(SHORT).collect::<String>()),
        _ => name.split_whitespace().filter_map(|word| word.chars().next()).collect(),
    }
}

/// Rows above the first player hold for all, as a `mark` row can; others belong to someone.
fn report_early_rows(block: &tree::Block, diagnostics: &mut Diagnostics) {
    for row in block.sets.iter().flat_map(|set| &set.rows) {
        if !matches!(row.content, Content::Words(WordsRow::Mark, _)) {
            diagnostics
                .error(
                    row.name.span,
                    format!("the row `{}` stands above the players", row.name.value),
                )
                .code(codes::PLAYER_ROW_EARLY)
                .mend("put it under the player it belongs to; only a `mark` row holds for all");
        }
    }
}

/// Leaves so many bars of a part; what is tied over to a bar that is gone is not.
fn cut(part: &mut PlayerPart, bars: usize) {
    if part.bars.len() <= bars {
        return;
    }
    part.bars.truncate(bars);
    let Some(last) = part.bars.last_mut() else { return };
    for voice in [&mut last.upper, &mut last.lower] {
        if let Some(hit) = voice.hits.last_mut() {
            hit.tied = false;
        }
    }
}

/// Joins what the players of a block play: bars that do not go together are faults, signs between bars and
/// marks of the form that one has hold for all.
pub(super) fn join(
    shares: &[Share<'_>],
    mut parts: Vec<PlayerPart>,
    diagnostics: &mut Diagnostics,
) -> Option<(PlayerPart, Vec<PlayerPart>)> {
    let mut others = parts.split_off(parts.len().min(1));
    let mut first = parts.pop()?;
    let Some(leader) = shares.first() else { return Some((first, others)) };
    for (share, part) in shares.iter().skip(1).zip(&others) {
        compare((leader, &first), (share, part), diagnostics);
    }
    // The shortest decides, so that every bar has all players; it was told.
    let bars = others.iter().map(|part| part.bars.len()).fold(first.bars.len(), usize::min);
    others.iter_mut().chain([&mut first]).for_each(|part| cut(part, bars));
    for index in 0..bars {
        let mut of_others: Vec<&mut Bar> =
            others.iter_mut().filter_map(|part| part.bars.get_mut(index)).collect();
        let Some(lead) = first.bars.get_mut(index) else { continue };
        for bar in &mut of_others {
            lead.closing = stronger(lead.closing, bar.closing);
            lead.repeat_start |= bar.repeat_start;
            let (shared, own) =
                std::mem::take(&mut bar.marks).into_iter().partition(|m| m.kind.is_of_all());
            bar.marks = own;
            let new = Vec::into_iter(shared).filter(|mark: &Mark| {
                !lead.marks.iter().any(|known| known.kind == mark.kind && known.at == mark.at)
            });
            let new: Vec<_> = new.collect();
            lead.marks.extend(new);
        }
        lead.marks.sort_by_key(|mark| mark.at);
        for bar in of_others {
            (bar.closing, bar.repeat_start) = (lead.closing, lead.repeat_start);
        }
    }
    let names: Vec<&str> = shares.iter().map(Share::called).collect();
    let mut all: Vec<&mut PlayerPart> = std::iter::once(&mut first).chain(&mut others).collect();
    cues::find(&names, &mut all, diagnostics);
    Some((first, others))
}

/// The sign of two that says more.
pub(super) fn stronger(one: Closing, other: Closing) -> Closing {
    match (one, other) {
        (Closing::Repeat { counted: false, .. }, Closing::Repeat { counted: true, .. }) => other,
        (Closing::Repeat { .. }, _) | (_, Closing::Single) => one,
        (Closing::Single | Closing::Double, Closing::Double | Closing::Repeat { .. }) => other,
    }
}

/// Reports players whose bars do not go together.
fn compare(
    (leader, first): (&Share<'_>, &PlayerPart),
    (share, part): (&Share<'_>, &PlayerPart),
    diagnostics: &mut Diagnostics,
) {
    let (one, other) = (leader.called(), share.called());
    let count = |part: &PlayerPart| say::several(part.bars.len(), "bar");
    if part.bars.is_empty() || first.bars.is_empty() {
        return;
    }
    if part.bars.len() != first.bars.len() {
        diagnostics
            .error(
                share.span(),
                format!("{other} has {} where {one} has {}", count(part), count(first)),
            )
            .code(codes::PLAYERS_UNEQUAL)
            .mend("write as many bars for each player; a dot spread over a bar, as `.:4`, is a silent one");
        return;
    }
    let differs = |(one, other): &(&Bar, &Bar)| one.length != other.length;
    let pairs = first.bars.iter().zip(&part.bars);
    if let Some((index, (theirs, own))) = pairs.enumerate().find(|(_, pair)| differs(pair)) {
        diagnostics
            .error(
                own.span,
                format!(
                    "bar {} of {other} lasts {}, and that of {one} {}",
                    index + 1,
                    own.length,
                    theirs.length
                ),
            )
            .code(codes::PLAYERS_UNEQUAL)
            .mend("let the bars of all players last as long");
    }
}
