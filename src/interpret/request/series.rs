//! What the lines of a series say.

use super::change::{self, Change};
use super::pattern::Pattern;
use super::read::{no_value, unknown};
use super::rule::{Order, Rule};
use crate::interpret::keys;
use crate::interpret::values::{self, WrittenTempo};
use crate::score::{Kit, Span};
use crate::source::Diagnostics;
use crate::syntax::tree::{self, Setting};

/// Most patterns of a list of hands or feet.
const MOST_LISTED: usize = 100;
/// Most exercises of one series.
pub(crate) const MOST: usize = 2_000;

/// Words a series knows beside those of a variation and the keys of any block.
const WORDS: [&str; 10] = [
    "accents",
    "notes",
    "stickings",
    "turns",
    "hands",
    "feet",
    "order",
    "at-most",
    "turnings",
    "playable",
];

/// What is left out of a series because nobody could play it.
#[derive(Clone, Debug)]
pub(crate) struct Playable {
    /// At which tempo, with the words that say it; else at the one in force.
    pub(crate) tempo: Option<(WrittenTempo, String)>,
    pub(crate) span: Span,
}

/// The lines of a series.
#[derive(Clone, Debug, Default)]
pub(crate) struct Series {
    pub(crate) rule: Option<Rule>,
    /// A block is begun on each of its notes in turn.
    pub(crate) turns: bool,
    pub(crate) hands: Vec<Pattern>,
    pub(crate) feet: Vec<Pattern>,
    pub(crate) order: Order,
    pub(crate) most: Option<usize>,
    /// Without what is an earlier exercise begun elsewhere.
    pub(crate) once_round: bool,
    pub(crate) playable: Option<Playable>,
    pub(crate) changes: Vec<(Change, Span)>,
    /// Where its rule is written.
    pub(crate) rule_span: Option<Span>,
}

/// Reads the lines of a series; the keys of any block among them come back too. What is wrong with
/// them names it.
pub(super) fn read<'b>(
    what: &str,
    block: &'b tree::Block,
    kit: &Kit,
    diagnostics: &mut Diagnostics,
) -> Option<(Series, Vec<&'b Setting>)> {
    let mut series = Series::default();
    let mut own = Vec::new();
    let mut good = true;
    for setting in block.sets.iter().flat_map(|s| &s.settings) {
        let key = setting.key.value.to_lowercase();
        match series.take(&key, setting, kit) {
            Some(Ok(())) => {}
            Some(Err(may_be)) => {
                good = false;
                no_value(what, setting, may_be, diagnostics);
            }
            None if keys::is_block_key(&key) => own.push(setting),
            None => {
                good = false;
                unknown(what, setting, &WORDS, diagnostics);
            }
        }
    }
    let listed = !series.hands.is_empty() || !series.feet.is_empty();
    let rules =
        usize::from(series.rule.is_some()) + usize::from(series.turns) + usize::from(listed);
    if good && rules != 1 {
        let message = match rules {
            0 => format!("{what}: it does not say what it goes through"),
            _ => format!("{what}: it goes through two things at once"),
        };
        diagnostics.error(block.span, message).mend("write one of `accents: 2 of ssss`, `notes: 3 of 4`, `stickings: 8 sixteenths`, `turns: yes`, or lists of `hands` and `feet`");
        return None;
    }
    good.then_some((series, own))
}

impl Series {
    /// Takes one line; nothing where its key is none of a series.
    fn take(&mut self, key: &str, setting: &Setting, kit: &Kit) -> Option<Result<(), String>> {
        let whole = setting.key.span.join(setting.value.span);
        let value = setting.value.value.trim();
        if let Some(read) = Rule::read(key, value, kit) {
            return Some(read.and_then(|rule| {
                self.rule_span = Some(whole);
                match self.rule.replace(rule) {
                    None => Ok(()),
                    Some(_) => {
                        Err("a series goes through one thing; make a second series".to_owned())
                    }
                }
            }));
        }
        Some(match key {
            "turns" if value == "yes" => {
                self.turns = true;
                Ok(())
            }
            "turns" => Err("write `turns: yes`, or leave the line out".to_owned()),
            "turnings" if value == "once" => {
                self.once_round = true;
                Ok(())
            }
            "turnings" => Err(
                "write `turnings: once` to leave out what is an earlier exercise begun elsewhere"
                    .to_owned(),
            ),
            "playable" => self.take_playable(value, whole),
            "hands" | "feet" => self.take_list(key, value, whole, kit),
            "order" if ["written", "neighbours", "easy"].contains(&value) => {
                self.order = match value {
                    "neighbours" => Order::Neighbours,
                    "easy" => Order::Easy,
                    _ => Order::Written,
                };
                Ok(())
            }
            "at-most" => match value.trim_end_matches("exercises").trim().parse() {
                Ok(most) if (1..=MOST).contains(&most) => {
                    self.most = Some(most);
                    Ok(())
                }
                _ => Err("write a number from 1 to 2000".to_owned()),
            },
            _ => {
                return Some(change::Change::read(key, value, kit)?.map(|change| {
                    self.changes.push((change, whole));
                }));
            }
        })
    }

    fn take_playable(&mut self, value: &str, span: Span) -> Result<(), String> {
        let tempo = match value.strip_prefix("at ").map(str::trim) {
            _ if value == "yes" => None,
            Some(words) => values::tempo(words)
                .map(|tempo| Some((tempo, words.to_owned())))
                .ok_or("write `playable: at 120`, or `playable: yes` for the tempo it has")?,
            None => {
                return Err(
                    "write `playable: at 120`, or `playable: yes` for the tempo it has".to_owned()
                );
            }
        };
        self.playable = Some(Playable { tempo, span });
        Ok(())
    }

    fn take_list(&mut self, key: &str, value: &str, span: Span, kit: &Kit) -> Result<(), String> {
        let help = "write groups of cells with commas between them, as `ssss, s.ss`";
        let words: Vec<&str> = value.split(',').map(str::trim).collect();
        if words.len() > MOST_LISTED || words.iter().any(|word| word.is_empty()) {
            return Err(help.to_owned());
        }
        let read = |word: &&str| {
            Pattern::read(word, kit).ok_or_else(|| {
                let shown: String = word.chars().take(40).collect();
                format!("`{shown}` can't be read as cells; write the letters of the kit as in a `play` row")
            })
        };
        let list = words.iter().map(read).collect::<Result<Vec<_>, _>>()?;
        self.rule_span = Some(span);
        match key {
            "hands" => self.hands = list,
            _ => self.feet = list,
        }
        Ok(())
    }
}
