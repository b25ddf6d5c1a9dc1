//! Tables.

use super::reader::ProseReader;
use crate::score::prose::{Alignment, Table};
use crate::score::{Inline, ProseBlock};
use crate::syntax::{codes, limits};
use pulldown_cmark::{Event, Tag};
use std::ops::Range;

impl ProseReader<'_, '_> {
    /// A table whose start was read; nothing where it is too large.
    pub(super) fn table(
        &mut self,
        columns: &[pulldown_cmark::Alignment],
        range: &Range<usize>,
    ) -> Option<ProseBlock> {
        if columns.len() > limits::TABLE_COLUMNS {
            let message = format!("a table has at most {} columns", limits::TABLE_COLUMNS);
            self.refuse_table(range, message, "break it into several tables");
            return None;
        }
        let mut rows = Vec::new();
        while let Some((Event::Start(Tag::TableHead | Tag::TableRow), place)) = self.peek() {
            let place = place.clone();
            self.next();
            self.warn_of_lost_cells(columns.len(), &place);
            if rows.len() > limits::TABLE_ROWS {
                let message = format!("a table has at most {} rows", limits::TABLE_ROWS);
                self.skip_element();
                self.refuse_table(range, message, "break it into several tables");
                return None;
            }
            rows.push(self.cells());
        }
        self.next();
        let head = if rows.is_empty() { Vec::new() } else { rows.remove(0) };
        let columns = columns.iter().map(|column| match column {
            pulldown_cmark::Alignment::None | pulldown_cmark::Alignment::Left => Alignment::Left,
            pulldown_cmark::Alignment::Center => Alignment::Center,
            pulldown_cmark::Alignment::Right => Alignment::Right,
        });
        Some(ProseBlock::Table(Table { columns: columns.collect(), head, rows }))
    }

    /// The cells of a row whose start was read.
    fn cells(&mut self) -> Vec<Vec<Inline>> {
        let mut cells = Vec::new();
        while let Some((Event::Start(Tag::TableCell), _)) = self.peek() {
            self.next();
            cells.push(self.words(0, &mut None));
            self.next();
        }
        self.next();
        cells
    }

    /// The library reads no more cells of a row than its head has.
    fn warn_of_lost_cells(&mut self, columns: usize, range: &Range<usize>) {
        let row = self.text.as_str().get(range.clone()).unwrap_or("").trim();
        let inner = row.strip_prefix('|').unwrap_or(row);
        let inner = inner.strip_suffix('|').filter(|rest| !rest.ends_with('\\')).unwrap_or(inner);
        let mut cells = 1;
        let mut escaped = false;
        for byte in inner.bytes() {
            cells += usize::from(byte == b'|' && !escaped);
            escaped = byte == b'\\' && !escaped;
        }
        if cells > columns {
            let place = self.text.span(range);
            self.found
                .warning(place, format!("this row has {cells} cells and its head {columns}, so the last are not printed"))
                .code(codes::TABLE_ROW_TOO_LONG)
                .mend("give the head as many cells, or write `\\|` where the sign itself is meant");
        }
    }

    fn refuse_table(&mut self, range: &Range<usize>, message: String, mend: &str) {
        self.skip_element();
        let place = self.text.span(range);
        self.found.error(place, message).code(codes::TABLE_TOO_LARGE).mend(mend);
    }
}
