//! From a cell to the note that stands for it on the pages, and back.

use super::view::View;
use crate::score::{Bar, Hit, PlayerPart, Span, Time};
use crate::source::Location;

/// The note of a cell, as pages and what is heard name it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CellNote {
    /// The cell, in its row, with its signs; all of it where it says that several drums are struck together.
    pub span: Span,
    /// The byte its block starts at; of a series, where the series starts.
    pub block: usize,
    /// Who plays it, where the block has several players or names its one.
    pub player: Option<String>,
    /// Its bar's number in the block, from 1: `data-bar` in SVG, `bar` of a cue.
    pub bar: usize,
    /// Its place in the bar in beats of the time signature's lower number, from 1, exact: `data-beat` in SVG,
    /// `beat` of a cue.
    pub beat: Time,
    /// Where its note says that it is written: `data-file`, `data-line` and `data-column` of the group in SVG. Of
    /// what is struck together in several rows it is one of them.
    pub written: Location,
}

/// A hit with its bar, counted from 0.
type Found<'a> = (Span, usize, &'a Bar, &'a Hit);

/// The note of the cell at a byte: of a hit in any row of its block, or of a letter for the hand or the foot that
/// plays it. A cell that starts at the byte comes before one that ends there. Nothing for silence, for rows of
/// words, and where a block could not be understood.
#[must_use]
pub fn note(view: &View<'_>, offset: usize) -> Option<CellNote> {
    let block = view.block_at(offset)?;
    let local = offset.checked_sub(block.at)?;
    let placed = view.score_of(block)?;
    let inside = |span: Span| span.holds(local);
    let ends = |span: Span| span.end() == local && span.start() < local;
    let look = |holds: &dyn Fn(Span) -> bool| {
        placed.parts().find_map(|part| Some((part, of_part(part, holds)?)))
    };
    let (part, (span, index, bar, hit)) = look(&inside).or_else(|| look(&ends))?;
    Some(CellNote {
        span: span.moved(block.at),
        block: block.at,
        player: part.player.as_ref().map(|player| player.name.clone()),
        bar: index + 1,
        beat: bar.beat(hit.at),
        written: view.source.location(block.at + hit.span.start()),
    })
}

/// The hit of a cell or a letter; what is held over from the bar before is found where it is struck.
fn of_part<'a>(part: &'a PlayerPart, holds: &dyn Fn(Span) -> bool) -> Option<Found<'a>> {
    part.bars.iter().enumerate().find_map(|(index, bar)| {
        let (span, hit) = of_hits(bar, holds).or_else(|| of_letters(bar, holds))?;
        Some((span, index, bar, hit))
    })
}

fn hits(bar: &Bar) -> impl Iterator<Item = &Hit> {
    bar.upper.hits.iter().chain(&bar.lower.hits)
}

fn of_hits<'a>(bar: &'a Bar, holds: &dyn Fn(Span) -> bool) -> Option<(Span, &'a Hit)> {
    let strike = hits(bar).find_map(|hit| {
        let strike = hit.strikes.iter().find(|strike| holds(strike.span))?;
        Some((strike.span, hit))
    });
    strike.or_else(|| hits(bar).find(|hit| holds(hit.span)).map(|hit| (hit.span, hit)))
}

fn of_letters<'a>(bar: &'a Bar, holds: &dyn Fn(Span) -> bool) -> Option<(Span, &'a Hit)> {
    let of = |letters: &[crate::score::Sticking], own: &'a [Hit], other: &'a [Hit]| {
        let letter = letters.iter().find(|letter| holds(letter.span))?;
        let hit = own.iter().chain(other).find(|hit| hit.at == letter.at)?;
        Some((letter.span, hit))
    };
    let (upper, lower) = (&bar.upper.hits, &bar.lower.hits);
    of(&bar.sticking, upper, lower).or_else(|| of(&bar.pedalling, lower, upper))
}

/// The byte that a note or a mark of the pages says it is written at. A place that is not there is the nearest
/// before it: a column past the end of its line that end, a line past the last the end of its file; nothing for a
/// file there is not.
#[must_use]
pub fn byte_of(view: &View<'_>, place: Location) -> Option<usize> {
    if place.file.0 >= view.source.files() {
        return None;
    }
    let (start, text) = (view.source.span_of(place.file).start(), view.source.text_of(place.file));
    let mut lines = text.split_inclusive('\n');
    let above: usize = lines.by_ref().take(place.line.saturating_sub(1)).map(str::len).sum();
    let line = lines.next().unwrap_or("").trim_end_matches(['\n', '\r']);
    let column = line.char_indices().nth(place.column.saturating_sub(1));
    Some(start + above + column.map_or(line.len(), |(at, _)| at))
}
