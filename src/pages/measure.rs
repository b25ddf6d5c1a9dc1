//! What of a piece decides where pages are broken.

use super::piece::{Bond, Opens, Piece, Turn};

/// All of a piece that counts where pages are broken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// Its height, in points.
    pub height: f64,
    /// The room over it, in points.
    pub before: f64,
    /// Whether that room gives.
    pub elastic: bool,
    /// Whether it begins a block or a paragraph.
    pub begins: bool,
    /// Whether it stays on the page of the next.
    pub keep_with_next: bool,
    /// How close it stays to the piece before it.
    pub bond: Bond,
    /// Where the page may stand that it opens.
    pub opens: Opens,
    /// What it is to turn a page before it.
    pub turn: Turn,
}

impl Measure {
    /// The room over it on a page whose gaps are so many times as large as they are meant to be.
    pub fn room_over(&self, gaps: f64) -> f64 {
        self.before * if self.elastic { gaps } else { 1.0 }
    }
}

impl From<&Piece> for Measure {
    fn from(piece: &Piece) -> Self {
        let Piece { height, before, elastic, begins, keep_with_next, bond, opens, turn, .. } =
            *piece;
        Self { height, before, elastic, begins, keep_with_next, bond, opens, turn }
    }
}
