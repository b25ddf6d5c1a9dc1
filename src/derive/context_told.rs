//! How a context comes about, in words: a line for each block it plays.

use super::library::Known;
use crate::interpret::request::{Entry, PlayedBlock};
use crate::score::Kit;
use crate::score::kit::InstrumentId;
use crate::source::say;

/// Which bars a piece became.
pub(super) fn told(
    known: &Known,
    piece: &PlayedBlock,
    (from, to): (usize, usize),
    kit: &Kit,
) -> String {
    let ending = piece.ending.as_ref();
    let ending = ending.map(|e| format!(", its end replaced by `{}`", e.value));
    let times = match piece.times {
        1 => String::new(),
        n => format!(", {} times", say::number(n)),
    };
    let (bars, ending, entry) =
        (bars(from, to), ending.unwrap_or_default(), told_entry(&piece.entry, kit));
    format!("{bars}: `{}`{times}{ending}{entry}", known.name)
}

/// How some bars are told, from 1.
pub(super) fn bars(from: usize, to: usize) -> String {
    if from >= to { format!("bar {to}") } else { format!("bars {from} to {to}") }
}

/// How something comes in.
pub(super) fn told_entry(entry: &Entry, kit: &Kit) -> String {
    let from = entry.from.as_ref().map(|from| format!(", from `{}` on", from.said()));
    let name = |id: &InstrumentId| kit.get(*id).map_or("", |instrument| instrument.name.as_str());
    let over = match entry.over.as_slice() {
        [] => String::new(),
        over => format!(", over {}", say::listed(over.iter().map(name))),
    };
    from.unwrap_or_default() + &over
}
