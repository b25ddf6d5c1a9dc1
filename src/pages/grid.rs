//! Short blocks side by side in columns, as method books set exercises.

use super::block::outline_heading;
use super::piece::Piece;
use super::setter::Setter;
use super::sheet::Sheet;
use crate::drawing::{Inset, Node};
use crate::engrave::System;
use crate::score::PlacedBlock;
use kurbo::Vec2;
use std::sync::Arc;

/// Between columns, in points (common practice, no source).
const GUTTER: f64 = 20.0;

/// A block of a row, engraved for its column.
pub struct GridBlock<'a> {
    /// The block.
    pub block: &'a PlacedBlock,
    /// Its lines.
    pub systems: Arc<[Arc<System>]>,
}

/// Width of one of some columns.
pub fn column_width(sheet: &Sheet, columns: usize) -> f64 {
    let columns = columns.max(1) as f64;
    ((sheet.text_width() - GUTTER * (columns - 1.0)) / columns).max(1.0)
}

impl Setter<'_> {
    /// Blocks side by side as one piece: titles begin on one baseline, staves stand in one line.
    pub fn grid_row(&self, cells: &[GridBlock<'_>], columns: usize) -> Piece {
        let sheet = self.sheet;
        let step = column_width(sheet, columns) + GUTTER;
        let mut parts: Vec<Vec<Node>> = Vec::with_capacity(cells.len());
        let mut y = 0.0_f64;
        for (column, cell) in cells.iter().enumerate() {
            let mut nodes = Vec::new();
            if let Some(title) = self.block_title(cell.block, step - GUTTER) {
                y = y.max(title.height + sheet.after_title);
                let x = column as f64 * step;
                nodes =
                    title.nodes.iter().map(|node| node.clone().transform(1.0, x, 0.0)).collect();
            }
            parts.push(nodes);
        }
        let lines = cells.iter().map(|cell| cell.systems.len()).max().unwrap_or(0);
        for line in 0..lines {
            let all = || cells.iter().filter_map(|cell| cell.systems.get(line));
            let scale = |system: &Arc<System>| sheet.space * system.scale;
            let over = all().map(|s| -s.ink.y0 * scale(s)).fold(0.0, f64::max);
            let under = all().map(|s| s.ink.y1 * scale(s)).fold(0.0, f64::max);
            if line > 0 {
                y += sheet.between_systems;
            }
            for (column, (cell, nodes)) in cells.iter().zip(&mut parts).enumerate() {
                let Some(system) = cell.systems.get(line) else { continue };
                let x = column as f64 * step;
                let at = Vec2::new(x, y + over);
                let scale = scale(system);
                nodes.push(Node::Inset(Inset { nodes: system.nodes.clone(), scale, at }));
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
