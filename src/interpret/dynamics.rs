//! The words of a `dyn` row.

use super::wrong_value::WrongValue;
use crate::score::dynamic::Letters;
use crate::score::{DynamicKind, Span};
use crate::source::nearest;

/// What may be written at all.
const DYNAMICS: &str = "write dynamics such as `p`, `mf`, `sfz`, hairpins `<` and `>`, or `!` for a hairpin's end; other words go in a `say` or `mark` row";

/// Reads one dynamic at its place. An error says what may be written.
pub(crate) fn read(word: &str, span: Span) -> Result<DynamicKind, WrongValue> {
    match word {
        "<" => Ok(DynamicKind::Louder),
        ">" => Ok(DynamicKind::Softer),
        "!" => Ok(DynamicKind::End),
        _ => Letters::read(word).map(DynamicKind::Letters).ok_or_else(|| help(word, span)),
    }
}

fn help(word: &str, span: Span) -> WrongValue {
    let lower = word.to_lowercase();
    let near = match Letters::read(&lower) {
        Some(_) => Some(lower),
        None => nearest(word, Letters::all()),
    };
    match near {
        Some(near) => WrongValue::misspelt(span, &near, format!("did you mean `{near}`?")),
        None => DYNAMICS.into(),
    }
}
