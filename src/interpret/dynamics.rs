//! The words of a `dyn` row.

use super::wrong_value::WrongValue;
use crate::score::dynamic::{GradualSign, Letters};
use crate::score::{DynamicKind, Span};
use crate::source::nearest;

/// What may be written at all.
const DYNAMICS: &str = "write dynamics such as `p`, `mf`, `sfz`, hairpins `<` and `>`, `cresc`, `dim`, or `!` for their end; other words go in a `say` or `mark` row";

/// Other words for what has one name.
const MEANT: [(&str, &str); 6] = [
    ("crescendo", "cresc"),
    ("diminuendo", "dim"),
    ("decresc", "dim"),
    ("decrescendo", "dim"),
    ("louder", "cresc"),
    ("softer", "dim"),
];

/// Reads one dynamic at its place. An error says what may be written.
pub(crate) fn read(word: &str, span: Span) -> Result<DynamicKind, WrongValue> {
    match word {
        "<" => Ok(DynamicKind::Louder(GradualSign::Hairpin)),
        ">" => Ok(DynamicKind::Softer(GradualSign::Hairpin)),
        "cresc" | "cresc." => Ok(DynamicKind::Louder(GradualSign::Words)),
        "dim" | "dim." => Ok(DynamicKind::Softer(GradualSign::Words)),
        "!" => Ok(DynamicKind::End),
        _ => Letters::read(word).map(DynamicKind::Letters).ok_or_else(|| help(word, span)),
    }
}

fn help(word: &str, span: Span) -> WrongValue {
    let lower = word.to_lowercase();
    let plain = lower.trim_matches('.');
    let named = ["<", ">", "!", "cresc", "dim"];
    if let Some(rest) = lower.strip_prefix('.').map(|rest| rest.trim_start_matches('.'))
        && (Letters::read(rest).is_some() || named.contains(&rest))
    {
        let dots = lower.len() - rest.len();
        let apart = format!("{}{rest}", ". ".repeat(dots));
        return WrongValue::misspelt(span, &apart, format!("write the dots apart, as `{apart}`"));
    }
    let meant = MEANT.iter().find(|(other, _)| *other == plain);
    let near = match (meant, Letters::read(plain)) {
        (Some((_, meant)), _) => Some((*meant).to_owned()),
        (None, Some(_)) => Some(plain.to_owned()),
        (None, None) => nearest(word, Letters::all().chain(["cresc", "dim"])),
    };
    match near {
        Some(near) => WrongValue::misspelt(span, &near, format!("did you mean `{near}`?")),
        None => DYNAMICS.into(),
    }
}
