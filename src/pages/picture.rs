//! Cropped pictures of blocks.

use super::piece::Piece;
use super::spoken;
use crate::drawing::{Colours, Group, Node, Page};
use crate::font::Fonts;
use crate::score::PlacedBlock;
use crate::source::LineTable;
use std::sync::Arc;

/// Room around the picture of a block, in points (common practice, no source).
const MARGIN: f64 = 6.0;

/// A picture of one block alone, cropped to its ink.
pub fn of_block(
    fonts: &Fonts,
    block: &PlacedBlock,
    pieces: &[Piece],
    lines: &Arc<LineTable>,
) -> Page {
    let mut nodes = Vec::new();
    let mut y = 0.0;
    for (index, piece) in pieces.iter().enumerate() {
        y += if index == 0 { 0.0 } else { piece.before };
        nodes.extend(piece.nodes.iter().map(|node| node.clone().transform(1.0, 0.0, y)));
        y += piece.height;
    }
    let page = cropped(fonts, spoken::group(block, None, nodes), MARGIN, spoken::name(block));
    Page { lines: lines.clone(), ..page }
}

/// What a block's picture is filed under: its name, its number as it is printed or, where it has neither,
/// its word and its place after the blocks before it, which is no printed number.
pub fn key(block: &PlacedBlock, before: usize) -> String {
    let placed = || format!("{}-{}", block.word.as_str(), before + 1);
    block.name.clone().or_else(|| block.printed_number()).unwrap_or_else(placed)
}

/// A group alone, cropped to its ink with a margin in points.
pub fn cropped(fonts: &Fonts, group: Group, margin: f64, name: String) -> Page {
    let group = Node::from(group);
    let ink = group.bounds(fonts).unwrap_or_default().inflate(margin, margin);
    let moved = group.transform(1.0, -ink.x0, -ink.y0);
    Page {
        width: ink.width(),
        height: ink.height(),
        name,
        colours: Colours::default(),
        nodes: vec![moved],
        lines: Arc::default(),
    }
}
