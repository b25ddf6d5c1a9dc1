//! Tables: a line over and under the head and one at the end, and columns as wide as their words.

use super::flat_text::FlatText;
use super::passage::{Inside, Passage};
use super::piece::Piece;
use super::prose::ProseLine;
use crate::drawing::prose::Role;
use crate::font::FaceStyle;
use crate::score::Inline;
use crate::score::prose::{Alignment, Table};

/// Between columns, and over and under the lines, in ems (common practice, no source).
const GUTTER: f64 = 1.4;
const AT_LINE: f64 = 0.25;
/// Between rows, in ems.
const BETWEEN_ROWS: f64 = 0.15;

/// Adds a table to prose. A row may go on over the page, line by line.
pub(super) fn set(passage: &mut Passage<'_>, table: &Table, inside: &Inside) {
    let inside = &Inside {
        width: inside.width.max(passage.setter.sheet.text_width() - inside.left),
        ..inside.clone()
    };
    let rows: Vec<Vec<FlatText>> = std::iter::once((&table.head, FaceStyle::Semibold))
        .chain(table.rows.iter().map(|row| (row, FaceStyle::Regular)))
        .map(|(row, face)| texts(passage, row, face))
        .collect();
    let columns = Columns::of(passage, &rows, table.columns.len(), inside);
    let mut top = passage.line(inside.left, columns.width(), inside.before + inside.size * AT_LINE);
    top.keep_with_next = true;
    passage.pieces.push(top);
    let count = rows.len();
    for (nth, row) in rows.iter().enumerate() {
        let head = nth == 0;
        let mut at_row = inside.step(Role::Row, nth);
        at_row.before = inside.size * if nth <= 1 { AT_LINE } else { BETWEEN_ROWS };
        let mut pieces = columns.row(passage, row, &table.columns, (&at_row, head));
        // The head stays with the first row, and the last row with the line under it.
        if let (true, Some(last)) = (head || nth + 1 == count, pieces.last_mut()) {
            last.keep_with_next = true;
        }
        passage.pieces.extend(pieces);
        if head {
            let mut line = passage.line(inside.left, columns.width(), inside.size * AT_LINE / 2.0);
            line.keep_with_next = true;
            line.begins = false;
            passage.pieces.push(line);
        }
    }
    let mut end = passage.line(inside.left, columns.width(), inside.size * AT_LINE);
    end.begins = false;
    passage.pieces.push(end);
}

fn texts(passage: &Passage<'_>, row: &[Vec<Inline>], face: FaceStyle) -> Vec<FlatText> {
    let text = |cell: &Vec<Inline>| {
        let mut flat = FlatText::of(cell, face, passage.setter.answers);
        flat.hyphens = passage.setter.hyphens;
        flat
    };
    row.iter().map(text).collect()
}

/// Where columns start, and how wide each is.
struct Columns(Vec<(f64, f64)>);

impl Columns {
    /// Columns as wide as their words where there is room, else each with a share of the room that goes by
    /// its words, and no less than its longest word where that can be.
    fn of(passage: &Passage<'_>, rows: &[Vec<FlatText>], count: usize, inside: &Inside) -> Self {
        let fonts = passage.setter.fonts;
        let mut natural = vec![0.0_f64; count];
        let mut least = vec![0.0_f64; count];
        for (at, cell) in rows.iter().flat_map(|row| row.iter().enumerate().take(count)) {
            let whole = cell.width(fonts, 0..cell.text.len()) * inside.size;
            natural[at] = natural[at].max(whole);
            least[at] = least[at].max(longest_word(passage, cell) * inside.size);
        }
        let gutter = (GUTTER * inside.size).min(inside.width / (4.0 * count.max(1) as f64));
        let room = (inside.width - gutter * count.saturating_sub(1) as f64).max(1.0);
        let (all, words): (f64, f64) = (natural.iter().sum(), least.iter().sum());
        let widths: Vec<f64> =
            if all <= room {
                natural
            } else if words < room {
                let share = (room - words) / (all - words).max(f64::EPSILON);
                natural.iter().zip(&least).map(|(all, word)| word + (all - word) * share).collect()
            } else {
                // Words are parted; a narrow column keeps what it needs.
                let equal = room / count.max(1) as f64;
                let spare: f64 = least.iter().map(|word| (equal - word).max(0.0)).sum();
                let wanted: f64 = least.iter().map(|word| (word - equal).max(0.0)).sum();
                let given = if wanted > 0.0 { spare / wanted } else { 0.0 };
                least
                    .iter()
                    .map(|word| {
                        if *word <= equal { *word } else { equal + (word - equal) * given.min(1.0) }
                    })
                    .collect()
            };
        let mut left = inside.left;
        let placed = widths.into_iter().map(|width| {
            let start = left;
            left += width + gutter;
            // A hair more than its words, which else might not fit for rounding.
            (start, width + 1e-6)
        });
        Self(placed.collect())
    }

    /// From the first column's start to the last one's end.
    fn width(&self) -> f64 {
        match (self.0.first(), self.0.last()) {
            (Some((first, _)), Some((last, width))) => last + width - first,
            _ => 0.0,
        }
    }

    /// A row, line by line.
    fn row(
        &self,
        passage: &Passage<'_>,
        row: &[FlatText],
        alignments: &[Alignment],
        (inside, head): (&Inside, bool),
    ) -> Vec<Piece> {
        let cells: Vec<Vec<ProseLine>> = row
            .iter()
            .zip(&self.0)
            .map(|(cell, (_, width))| {
                passage.lines(cell, &Inside { width: *width, ..inside.clone() })
            })
            .collect();
        let count = cells.iter().map(Vec::len).max().unwrap_or(0).max(1);
        let empty = vec![Vec::new(); count];
        let mut pieces = passage.setter.rows(empty, 0.0, inside.size, inside.before);
        let role = || if head { Role::HeadCell } else { Role::Cell };
        for (nth, piece) in pieces.iter_mut().enumerate() {
            for (at, (cell, (left, width))) in cells.iter().zip(&self.0).enumerate() {
                let Some(line) = cell.get(nth) else { continue };
                let spare = (width - line.width()).max(0.0);
                let indent = match alignments.get(at).copied().unwrap_or_default() {
                    Alignment::Left => 0.0,
                    Alignment::Center => 0.5,
                    Alignment::Right => 1.0,
                };
                let place = (left + spare * indent, indent);
                passage.put(piece, line, place, &inside.step(role(), at));
            }
        }
        pieces
    }
}

/// The longest word of a cell, in ems.
fn longest_word(passage: &Passage<'_>, cell: &FlatText) -> f64 {
    let mut start = 0;
    let mut longest = 0.0_f64;
    for (at, c) in cell.text.char_indices().filter(|(_, c)| c.is_whitespace()) {
        longest = longest.max(cell.width(passage.setter.fonts, start..at));
        start = at + c.len_utf8();
    }
    longest.max(cell.width(passage.setter.fonts, start..cell.text.len()))
}
