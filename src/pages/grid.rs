//! Short blocks side by side in columns, as method books set exercises.

use super::block::outline_heading;
use super::engraved::EngravedBlock;
use super::piece::Piece;
use super::setter::Setter;
use super::title::{TitleParts, TitlePiece};
use crate::drawing::{Inset, Node};
use crate::engrave::System;
use crate::score::PlacedBlock;
use kurbo::Vec2;
use std::sync::Arc;

/// A block of a row, engraved for its column.
pub struct GridBlock<'a> {
    /// The block.
    pub block: &'a PlacedBlock,
    /// It in lines.
    pub engraved: EngravedBlock,
    /// Its title is that of a series, and runs over its row.
    pub begins_series: bool,
}

impl Setter<'_> {
    /// The title of a series over a row of some columns, of which the series may fill fewer.
    fn series_title(&self, cells: &[GridBlock<'_>], columns: usize) -> Option<Piece> {
        let first = cells.first().filter(|cell| cell.begins_series)?;
        let (width, step) = self.sheet.column(columns);
        let width = width + step * (columns as f64 - 1.0);
        let title = self.block_title(first.block, &first.engraved, TitleParts::Title, width);
        Some(title?.piece)
    }

    /// Blocks side by side as one piece: titles begin on one baseline, staves stand in one line.
    pub fn grid_row(&self, cells: &[GridBlock<'_>], columns: usize) -> Piece {
        let sheet = self.sheet;
        let (width, step) = sheet.column(columns);
        let mut parts: Vec<Vec<Node>> = Vec::with_capacity(cells.len());
        let mut y = 0.0_f64;
        let of_series = self.series_title(cells, columns);
        let under = of_series.as_ref().map_or(0.0, |title| title.height + sheet.after_title);
        let mut of_series = of_series.map(|title| title.nodes.to_vec());
        let titles: Vec<Option<TitlePiece>> = cells
            .iter()
            .map(|cell| {
                let parts = if cell.begins_series { TitleParts::Number } else { TitleParts::All };
                self.block_title(cell.block, &cell.engraved, parts, width)
            })
            .collect();
        let over = titles.iter().flatten().map(|title| title.over).fold(0.0, f64::max);
        for (column, title) in titles.into_iter().enumerate() {
            let mut nodes = of_series.take().unwrap_or_default();
            y = y.max(under);
            if let Some(title) = title {
                let at = (column as f64 * step, under + over - title.over);
                y = y.max(at.1 + title.piece.height + sheet.after_title);
                let moved = |node: &Node| node.clone().transform(1.0, at.0, at.1);
                nodes.extend(title.piece.nodes.iter().map(moved));
            }
            parts.push(nodes);
        }
        let lines = cells.iter().map(|cell| cell.engraved.systems.len()).max().unwrap_or(0);
        for line in 0..lines {
            let all = || cells.iter().filter_map(|cell| cell.engraved.systems.get(line));
            let scale = |system: &Arc<System>| self.line_scale(system);
            let over = all().map(|s| -s.ink.y0 * scale(s)).fold(0.0, f64::max);
            let under = all().map(|s| s.ink.y1 * scale(s)).fold(0.0, f64::max);
            if line > 0 {
                y += sheet.between_systems;
            }
            for (column, (cell, nodes)) in cells.iter().zip(&mut parts).enumerate() {
                let Some(system) = cell.engraved.systems.get(line) else { continue };
                let x = column as f64 * step;
                let at = Vec2::new(x, y + over);
                let scale = scale(system);
                nodes.push(Node::Inset(Inset { marks: system.marks.clone(), scale, at }));
            }
            y += over + under;
        }
        Piece {
            row: parts.into_iter().map(Into::into).collect(),
            height: y,
            before: sheet.before_block,
            elastic: true,
            begins: true,
            headings: cells
                .iter()
                .enumerate()
                .filter_map(|(nth, cell)| outline_heading(nth, cell.block))
                .collect(),
            ..Piece::default()
        }
    }
}
