//! Groups of letters that are no letters of the kit: names of drums written out, and ghost notes as the row
//! of one instrument has them.

use super::codes;
use crate::score::kit::InstrumentId;
use crate::score::{Accent, Kit, row_meant};
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{Cell, CellKind};

/// The letter of a cell that is a plain hit of one, accented or not.
fn letter(cell: &Cell) -> Option<char> {
    let CellKind::Hit(hit) = &cell.kind else { return None };
    let [strike] = hit.strikes.as_slice() else { return None };
    let bare =
        hit.grace.count() == 0 && hit.strokes == 0 && !hit.buzz && !hit.choked && !strike.ghost;
    (bare && strike.accent != Accent::Marcato).then_some(strike.letter)
}

/// The instrument whose name the cells of a group spell, where not all of them are letters of the kit.
pub(crate) fn spelled(cells: &[Cell], kit: &Kit) -> Option<InstrumentId> {
    if cells.len() < 2
        || cells.iter().all(|cell| letter(cell).is_some_and(|l| kit.by_letter(l).is_some()))
    {
        return None;
    }
    let word: String = cells.iter().map(letter).collect::<Option<_>>()?;
    kit.by_name(&word).or_else(|| kit.by_name(row_meant(&word)?))
}

/// Tells of a name of an instrument in a row of letters.
pub(crate) fn report_spelled(
    id: InstrumentId,
    (row, kit): (&str, &Kit),
    span: Span,
    diagnostics: &mut Diagnostics,
) {
    let instrument = kit.get(id);
    let name = instrument.map_or("", |instrument| instrument.name.as_str());
    let message = format!("`{row}`: each letter is a hit, and these spell `{name}`");
    let fault = diagnostics.error(span, message).code(codes::KIT_LETTER_UNKNOWN);
    match instrument.and_then(|instrument| instrument.letter) {
        Some(letter) => fault.replace(
            span,
            letter.to_string(),
            format!("write `{letter}`, or give it a row of its own: `{name}`, with `x` for a hit"),
        ),
        None => fault.mend(format!("give it a row of its own: `{name}`, with `x` for a hit")),
    }
}

/// Tells of each run of `g` in a group; whether there is one.
pub(crate) fn report_ghosts(cells: &[Cell], row: &str, diagnostics: &mut Diagnostics) -> bool {
    let mut found = false;
    let is_ghost =
        |cell: &Cell| letter(cell) == Some('g') && cell.span.end() == cell.span.start() + 1;
    for run in cells.chunk_by(|one, next| is_ghost(one) == is_ghost(next)) {
        let (Some(first), Some(last)) = (run.first(), run.last()) else { continue };
        if !is_ghost(first) {
            continue;
        }
        found = true;
        let span = first.span.join(last.span);
        diagnostics
            .error(span, format!("`{row}`: this kit has no letter `g`"))
            .code(codes::KIT_LETTER_UNKNOWN)
            .replace(
                span,
                "(s)".repeat(run.len()),
                "a ghost note is a letter in brackets here, as `(s)`; `g` is for the row of one instrument",
            );
    }
    found
}
