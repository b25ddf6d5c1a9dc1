//! The values of a key.

use super::super::lines::Written;
use super::super::view::View;
use super::item::{Completion, CompletionKind, completion};
use super::names::names;
use crate::interpret::key_table::KEYS;
use crate::score::BlockWord;
use crate::source::Span;

/// Values of the lines of made blocks that are one of a few words. Names and cells are told elsewhere.
const OF_LINES: &[(BlockWord, &str, &[&str])] = &[
    (BlockWord::Variation, "gaps", &["diddle", "flam", "drag", "ruff"]),
    (BlockWord::Variation, "taps", &["diddle", "ghost", "flam", "drag", "ruff", "drop"]),
    (BlockWord::Variation, "accents", &["drop", "only", "flam", "drag", "ruff", "on ", "every "]),
    (BlockWord::Variation, "sticking", &["reverse", "natural", "alternate", "economy"]),
    (BlockWord::Variation, "lead", &["right", "left"]),
    (BlockWord::Variation, "shift", &["one sixteenth", "one eighth", "one beat"]),
    (BlockWord::Variation, "rotate", &["one beat", "one eighth"]),
    (BlockWord::Variation, "backwards", &["yes"]),
    (
        BlockWord::Variation,
        "as",
        &[
            "quarters",
            "eighths",
            "triplets",
            "sixteenths",
            "quintuplets",
            "sextuplets",
            "septuplets",
            "thirty-seconds",
        ],
    ),
    (BlockWord::Series, "turns", &["yes"]),
    (BlockWord::Series, "order", &["written", "neighbours", "easy"]),
    (BlockWord::Series, "turnings", &["once"]),
    (BlockWord::Series, "playable", &["yes", "at 120"]),
    (BlockWord::Edition, "lead", &["left"]),
];

/// The values of a key in a block of some word, or at the head of a file.
pub(super) fn of(
    view: &View<'_>,
    written: &Written<'_>,
    (key, value): (&str, &str),
    word: Option<BlockWord>,
) -> Vec<Completion> {
    let key = key.to_lowercase();
    match (word, key.as_str()) {
        (Some(BlockWord::Context), "play" | "endings")
        | (Some(BlockWord::Edition), "only" | "without") => {
            return names(view, written, &BlockWord::has_music);
        }
        (Some(BlockWord::Edition), "all") => {
            return match value.trim_start().split_once(':') {
                Some(inner) => of(view, written, inner, None),
                None => Vec::new(),
            };
        }
        (_, "kit") => return names(view, written, &|word| word == BlockWord::Kit),
        _ => {}
    }
    let own = OF_LINES.iter().find(|(of, line, _)| Some(*of) == word && *line == key);
    if let Some((_, _, words)) = own {
        return words.iter().map(|word| whole(written, value, word, String::new())).collect();
    }
    let Some(told) = KEYS.iter().find(|own| own.names.contains(&key.as_str())) else {
        return Vec::new();
    };
    let known = told.told_values().into_iter();
    let mut found: Vec<Completion> = known
        .map(|word| whole(written, value, word, format!("`{}:` {}", told.name(), told.help)))
        .collect();
    if key == "counting" {
        found.extend(names(view, written, &|word| word == BlockWord::Syllables));
    }
    found
}

/// A value in place of all that is written after the colon.
fn whole(written: &Written<'_>, value: &str, word: &str, about: String) -> Completion {
    let typed = value.trim_start();
    let start = written.offset - typed.len();
    let span = Span::new(start, written.offset);
    let room = if value.len() > typed.len() { "" } else { " " };
    let one = completion(written, CompletionKind::Value, word, about);
    Completion { span, text: format!("{room}{word}"), ..one }
}
