//! What the lines of a series say.

use crate::derive::made::{Maker, no_value, unknown};
use crate::derive::series::MOST;
use crate::derive::series::rule::{Order, Rule};
use crate::derive::variation::change;
use crate::derive::variation::change::Change;
use crate::interpret::{keys, values};
use crate::source::{Diagnostics, Span};
use crate::syntax::tree;
use crate::syntax::tree::Setting;

/// Most patterns of a list of hands or feet.
const MOST_LISTED: usize = 100;

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

/// The lines of a series.
#[derive(Default)]
pub(crate) struct Lines<'a> {
    pub(crate) rule: Option<Rule>,
    pub(crate) turns: bool,
    pub(crate) hands: Vec<String>,
    pub(crate) feet: Vec<String>,
    pub(crate) order: Order,
    pub(crate) most: Option<usize>,
    pub(crate) once_round: bool,
    /// Leave out what can't be played, at this tempo or else at the one in force.
    pub(crate) playable: Option<Option<String>>,
    pub(crate) changes: Vec<(Change, Span)>,
    /// Where its rule is written, and the line about what can be played.
    pub(crate) rule_span: Option<Span>,
    pub(crate) playable_span: Option<Span>,
    pub(crate) own: Vec<&'a Setting>,
}

impl Maker<'_> {
    /// Reads the lines of a series; what is wrong with them names it.
    pub(crate) fn lines<'b>(
        &self,
        what: &str,
        block: &'b tree::Block,
        diagnostics: &mut Diagnostics,
    ) -> Option<Lines<'b>> {
        let mut lines = Lines::default();
        let mut good = true;
        for setting in block.sets.iter().flat_map(|s| &s.settings) {
            let key = setting.key.value.to_lowercase();
            match self.line(&key, setting, &mut lines) {
                Some(Ok(())) => {}
                Some(Err(may_be)) => {
                    good = false;
                    no_value(what, setting, may_be, diagnostics);
                }
                None => {
                    good = false;
                    unknown(what, setting, &WORDS, diagnostics);
                }
            }
        }
        let listed = !lines.hands.is_empty() || !lines.feet.is_empty();
        let rules =
            usize::from(lines.rule.is_some()) + usize::from(lines.turns) + usize::from(listed);
        if good && rules != 1 {
            diagnostics
                .error(block.span, match rules {
                    0 => format!("{what}: it does not say what it goes through"),
                    _ => format!("{what}: it goes through two things at once"),
                })
                .mend("write one of `accents: 2 of ssss`, `notes: 3 of 4`, `stickings: 8 sixteenths`, `turns: yes`, or lists of `hands` and `feet`");
            return None;
        }
        good.then_some(lines)
    }

    fn line<'b>(
        &self,
        key: &str,
        setting: &'b Setting,
        lines: &mut Lines<'b>,
    ) -> Option<Result<(), String>> {
        let whole = setting.key.span.join(setting.value.span);
        let value = setting.value.value.trim();
        let yes = |place: &mut bool| match value {
            "yes" => {
                *place = true;
                Ok(())
            }
            _ => Err(format!("write `{key}: yes`, or leave the line out")),
        };
        if let Some(read) = Rule::read(key, value) {
            return Some(read.and_then(|mut rule| {
                if let Some(name) = rule.instrument() {
                    let found = change::instruments(name, self.kit())?;
                    let letters = found.iter().filter_map(|id| self.kit().get(*id));
                    *name = letters
                        .filter_map(|i| i.letter)
                        .map(String::from)
                        .collect::<Vec<_>>()
                        .join("+");
                }
                lines.rule_span = Some(whole);
                if lines.rule.replace(rule).is_some() {
                    return Err("a series goes through one thing; make a second series".to_owned());
                }
                Ok(())
            }));
        }
        Some(match key {
            "turns" => yes(&mut lines.turns),
            "turnings" => match value {
                "once" => {
                    lines.once_round = true;
                    Ok(())
                }
                _ => Err("write `turnings: once` to leave out what is an earlier exercise begun elsewhere".to_owned()),
            },
            "playable" => match value.strip_prefix("at ").map(str::trim) {
                _ if value == "yes" => {
                    lines.playable_span = Some(whole);
                    lines.playable = Some(None);
                    Ok(())
                }
                Some(tempo) if values::tempo(tempo).is_some() => {
                    lines.playable_span = Some(whole);
                    lines.playable = Some(Some(tempo.to_owned()));
                    Ok(())
                }
                _ => Err("write `playable: at 120`, or `playable: yes` for the tempo it has".to_owned()),
            },
            "hands" | "feet" => {
                let list: Vec<String> = value.split(',').map(|p| p.trim().to_owned()).collect();
                if list.len() > MOST_LISTED || list.iter().any(String::is_empty) {
                    Err("write groups of cells with commas between them, as `ssss, s.ss`".to_owned())
                } else {
                    lines.rule_span = Some(whole);
                    match key {
                        "hands" => lines.hands = list,
                        _ => lines.feet = list,
                    }
                    Ok(())
                }
            }
            "order" if ["written", "neighbours", "easy"].contains(&value) => {
                lines.order = match value {
                    "neighbours" => Order::Neighbours,
                    "easy" => Order::Easy,
                    _ => Order::Written,
                };
                Ok(())
            }
            "at-most" => match value.trim_end_matches("exercises").trim().parse() {
                Ok(most) if (1..=MOST).contains(&most) => {
                    lines.most = Some(most);
                    Ok(())
                }
                _ => Err("write a number from 1 to 2000".to_owned()),
            },
            _ => {
                let pattern = |cells: &str| self.pattern(cells);
                match Change::read(key, value, self.kit(), &pattern) {
                    Some(Ok(change)) => lines.changes.push((change, whole)),
                    Some(Err(may_be)) => return Some(Err(may_be)),
                    None if keys::is_block_key(key) => lines.own.push(setting),
                    None => return None,
                }
                Ok(())
            }
        })
    }
}
