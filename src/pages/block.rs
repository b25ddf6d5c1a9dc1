//! A block as pieces: its number and title, then its lines.

use super::column::ColumnPiece;
use super::engraved::EngravedBlock;
use super::piece::{EXERCISE, Opens, OutlineHeading, Piece, Turn};
use super::setter::Setter;
use super::sheet::Sheet;
use super::title::{TitleParts, TitlePiece};
use crate::drawing::{Inset, Node};
use crate::engrave::{PageTurn, System};
use crate::score::PlacedBlock;
use kurbo::Vec2;
use std::sync::Arc;

impl Setter<'_> {
    /// A block: its title, then its lines.
    pub fn block(&self, block: &PlacedBlock, engraved: &EngravedBlock) -> Vec<Piece> {
        let sheet = self.sheet;
        let systems = &engraved.systems;
        let mut pieces = Vec::new();
        let title = self.block_title(block, engraved, TitleParts::All, sheet.text_width());
        if let Some(TitlePiece { mut piece, .. }) = title {
            piece.before = sheet.before_block;
            piece.keep_with_next = true;
            piece.of_block = true;
            piece.headings.extend(outline_heading(0, block));
            pieces.push(piece);
        }
        let count = systems.len();
        for (line, system) in systems.iter().enumerate() {
            let before = match (line, pieces.is_empty()) {
                (0, true) => sheet.before_block,
                (0, false) => sheet.after_title,
                _ => sheet.between_systems,
            };
            let elastic = line > 0 || pieces.is_empty();
            pieces.push(Piece {
                before,
                elastic,
                begins: line == 0,
                keep_with_next: match block.settings.layout.keep.together {
                    true => line + 1 < count && !begins_page(systems.get(line + 1)),
                    false => line + 2 == count && count > 2 && !begins_page(systems.get(line + 1)),
                },
                of_block: true,
                opens: if line > 0 && system.new_page { Opens::NewPage } else { Opens::Anywhere },
                turn: if line > 0 { turn(system) } else { Turn::Idle },
                exercises: system.exercises.clone(),
                ..self.system(system)
            });
        }
        pieces
    }

    /// Puts the pieces of a block or of prose in the middle of the page, together.
    pub fn centre(&self, pieces: &mut [Piece]) {
        let nodes = pieces.iter().flat_map(|piece| piece.nodes.iter());
        let inks = nodes.filter_map(|node| node.bounds(self.fonts));
        let Some(ink) = inks.reduce(|a, b| a.union(b)) else { return };
        let right = (self.sheet.text_width() - ink.width()) / 2.0 - ink.x0;
        for piece in pieces {
            let moved = piece.nodes.iter().map(|node| node.clone().transform(1.0, right, 0.0));
            piece.nodes = moved.collect();
            let areas = piece.links.iter_mut().map(|link| &mut link.area);
            let areas = areas.chain(piece.addresses.iter_mut().map(|there| &mut there.area));
            areas.for_each(|area| *area = *area + Vec2::new(right, 0.0));
        }
    }

    /// Points in a staff space of a line: fewer where it would be taller than the page.
    pub fn line_scale(&self, system: &System) -> f64 {
        let height = system.ink.height().max(f64::MIN_POSITIVE);
        (self.sheet.space * system.scale).min(self.sheet.room() / height)
    }

    /// A line of music as tall as its ink.
    pub fn system(&self, system: &System) -> Piece {
        let scale = self.line_scale(system);
        let at = Vec2::new(0.0, -system.ink.y0 * scale);
        Piece {
            nodes: [Node::Inset(Inset { marks: system.marks.clone(), scale, at })].into(),
            height: system.ink.height() * scale,
            ..Piece::default()
        }
    }
}

/// Whether the text asks for a page that begins with a line.
fn begins_page(system: Option<&Arc<System>>) -> bool {
    system.is_some_and(|system| system.new_page)
}

/// How well a page may be turned before a line.
fn turn(system: &System) -> Turn {
    match system.turn {
        _ if system.new_page => Turn::Idle,
        PageTurn::Said => Turn::Said,
        PageTurn::Rest => Turn::Rest,
        PageTurn::Busy => Turn::Busy,
    }
}

/// What the outline calls a block, the nth side by side: its number and its title.
pub fn outline_heading(nth: usize, block: &PlacedBlock) -> Option<OutlineHeading> {
    let number = block.printed_number();
    let words: Vec<String> = number.into_iter().chain(block.title.clone()).collect();
    (!words.is_empty()).then(|| OutlineHeading {
        level: EXERCISE,
        words: words.join("  ").into(),
        nth: Some(nth),
    })
}

/// How much lower the pieces of a page begin than at its top, where what holds a block stands in the middle.
pub fn lowered<'p>(
    sheet: &Sheet,
    pieces: impl Iterator<Item = &'p ColumnPiece> + Clone,
    gaps: f64,
) -> f64 {
    if !pieces.clone().any(|piece| piece.block().is_some()) {
        return 0.0;
    }
    let heights: f64 = pieces.clone().map(|piece| piece.measure.height).sum();
    let between: f64 = pieces.skip(1).map(|piece| piece.measure.room_over(gaps)).sum();
    ((sheet.room() - heights - between) / 2.0).max(0.0)
}
