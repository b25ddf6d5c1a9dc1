//! `cue` rows: the players whose notes a player's own pages show small, and whether they can.

use super::codes;
use super::finish::Extras;
use crate::score::{Cue, PlayerPart, Time, name_key};
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span, nearest, say};
use crate::syntax::tree::QuotableWord;

/// Keeps the cues of a row, whose words stand in a bar and at a time. A bar has one.
pub(super) fn read<'a>(
    placed: impl Iterator<Item = (usize, &'a [QuotableWord], Time)>,
    place: impl Fn(usize) -> RowBar<'a>,
    extras: &mut [Extras],
    diagnostics: &mut Diagnostics,
) {
    for (bar, parts, at) in placed {
        for part in parts.iter().filter(|part| part.quoted || part.word.value != ".") {
            let (name, span) = (&part.word.value, part.word.span);
            if !part.quoted {
                diagnostics
                    .error(span, format!("{}: the name of a player stands in quotes", place(bar)))
                    .code(codes::CUE_UNQUOTED)
                    .replace(span, format!("\"{name}\""), format!("write `\"{name}\"`"));
            }
            let Some(extra) = extras.get_mut(bar) else { continue };
            if extra.cue.is_some() {
                diagnostics
                    .error(span, format!("{}: this bar has two cues", place(bar)))
                    .code(codes::CUE_TWICE)
                    .mend("leave one of them out: one player is enough to come in by");
                continue;
            }
            extra.cue = Some(Cue { player: name.clone(), at, span });
        }
    }
}

/// Gives the cues of a block's players the names of players as they are printed; `names` are those as they are
/// written, in order.
pub(super) fn find(names: &[&str], parts: &mut [&mut PlayerPart], diagnostics: &mut Diagnostics) {
    let printed: Vec<String> =
        parts.iter().map(|part| part.player.as_ref().map_or("", |p| &p.name).to_owned()).collect();
    let silent: Vec<Vec<bool>> = parts
        .iter()
        .map(|part| part.bars.iter().map(crate::score::Bar::is_silent).collect())
        .collect();
    for (own, part) in parts.iter_mut().enumerate() {
        for (index, bar) in part.bars.iter_mut().enumerate() {
            let Some(cue) = &mut bar.cue else { continue };
            let key = name_key(&cue.player).into_owned();
            let found = names.iter().position(|name| name_key(name) == key);
            let rests = silent.get(own).and_then(|bars| bars.get(index)).copied().unwrap_or(false);
            let sounds = |player: usize| {
                silent.get(player).and_then(|bars| bars.get(index)).is_some_and(|silent| !silent)
            };
            match found.filter(|found| *found != own) {
                None => report_unknown(cue, names, own, diagnostics),
                Some(_) if !rests => report_over_notes(cue.span, index, diagnostics),
                Some(player) if !sounds(player) => {
                    report_silent(cue.span, names.get(player).unwrap_or(&""), index, diagnostics);
                }
                Some(player) => {
                    cue.player = printed.get(player).cloned().unwrap_or_default();
                    continue;
                }
            }
            bar.cue = None;
        }
    }
}

fn report_unknown(cue: &Cue, names: &[&str], own: usize, diagnostics: &mut Diagnostics) {
    let others = || {
        let others = names.iter().enumerate().filter(|(index, _)| *index != own);
        others.map(|(_, name)| *name)
    };
    let itself = names.get(own).is_some_and(|name| name_key(name) == name_key(&cue.player));
    let message = match (names.len() < 2, itself) {
        (true, _) => "a cue shows another player, and this block has one alone".to_owned(),
        (false, true) => {
            "a cue shows another player, and this is the one whose rows these are".to_owned()
        }
        (false, false) => {
            format!(
                "no player of this block is called \u{201c}{}\u{201d}",
                say::shortened(&cue.player)
            )
        }
    };
    let fault = diagnostics.error(cue.span, message).code(codes::CUE_UNKNOWN);
    match nearest(&cue.player, others()).filter(|_| !itself) {
        Some(near) => {
            fault.replace(cue.span, format!("\"{near}\""), format!("did you mean `\"{near}\"`?"))
        }
        None if names.len() < 2 => {
            fault.mend("take the row out, or write the rows of the other under `player \"Name\"`")
        }
        None => fault.mend(format!("the others are {}", say::listed(others()))),
    };
}

fn report_over_notes(span: Span, bar: usize, diagnostics: &mut Diagnostics) {
    diagnostics
        .error(span, format!("`cue`, bar {}: the player does not rest in this bar", bar + 1))
        .code(codes::CUE_OVER_NOTES)
        .mend("cues stand in silent bars: put it in the bar before the player comes in");
}

fn report_silent(span: Span, name: &str, bar: usize, diagnostics: &mut Diagnostics) {
    diagnostics
        .warning(span, format!("`cue`, bar {}: {name} is silent in this bar too", bar + 1))
        .code(codes::CUE_SILENT)
        .mend("name a player who plays there, or take the cue out");
}
