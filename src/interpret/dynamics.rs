//! The words of a `dyn` row.

use crate::score::DynamicKind;
use crate::score::dynamic::Letters;
use crate::source::nearest;

/// What may be written at all.
const DYNAMICS: &str = "write dynamics such as `p`, `mf`, `sfz`, hairpins `<` and `>`, or `!` for a hairpin's end; other words go in a `say` or `mark` row";

/// Reads one dynamic. An error says what may be written.
pub(crate) fn read(word: &str) -> Result<DynamicKind, String> {
    match word {
        "<" => Ok(DynamicKind::Louder),
        ">" => Ok(DynamicKind::Softer),
        "!" => Ok(DynamicKind::End),
        _ => Letters::read(word).map(DynamicKind::Letters).ok_or_else(|| help(word)),
    }
}

fn help(word: &str) -> String {
    let lower = word.to_lowercase();
    let near = match Letters::read(&lower) {
        Some(_) => Some(lower),
        None => nearest(word, Letters::all()),
    };
    near.map_or_else(|| DYNAMICS.to_owned(), |near| format!("did you mean `{near}`?"))
}
