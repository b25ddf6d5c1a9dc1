//! What is known of the ways to break pieces into pages.

use super::column::ColumnPiece;
use super::cost::LeastCosts;
use super::piece::{Bond, Opens, Turn};

/// What was found out of each stretch of each column that was broken before. By default it keeps nothing.
#[derive(Debug, Default)]
pub struct BreakMemo {
    keeps: bool,
    stretches: Vec<Stretch>,
    /// Which of them comes next: columns are broken in the same order every time.
    next: usize,
}

#[derive(Debug)]
struct Stretch {
    measures: Vec<Measure>,
    room: f64,
    /// Whether its first page is a left-hand one, where that matters.
    left: bool,
    costs: Vec<LeastCosts>,
}

/// All of a piece that counts where pages are broken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Measure {
    pub(super) height: f64,
    pub(super) before: f64,
    pub(super) elastic: bool,
    pub(super) begins: bool,
    pub(super) keep_with_next: bool,
    pub(super) bond: Bond,
    pub(super) opens: Opens,
    pub(super) turn: Turn,
}

impl Measure {
    pub(super) fn of(piece: &ColumnPiece) -> Self {
        let ColumnPiece {
            height, before, elastic, begins, keep_with_next, bond, opens, turn, ..
        } = *piece;
        Self { height, before, elastic, begins, keep_with_next, bond, opens, turn }
    }
}

impl BreakMemo {
    /// One that keeps what is found out.
    pub fn keeping() -> Self {
        Self { keeps: true, ..Self::default() }
    }

    /// Begins again with the first stretch, and forgets those that did not come again.
    pub fn end_turn(&mut self) {
        self.stretches.truncate(self.next);
        self.next = 0;
    }

    /// The least costs that are known of the stretch that comes next: those before the first piece that is
    /// not as it was.
    pub(super) fn next(
        &mut self,
        pieces: &[Measure],
        (room, left): (f64, bool),
    ) -> Vec<LeastCosts> {
        let same = |known: &&mut Stretch| known.room == room && known.left == left;
        let Some(known) = self.stretches.get_mut(self.next).filter(same) else {
            return Vec::new();
        };
        let mut costs = std::mem::take(&mut known.costs);
        let same = known.measures.iter().zip(pieces).take_while(|(a, b)| a == b);
        let same = same.count();
        // The cost up to a piece counts how that piece begins; and of the last page, that it is the last.
        if same < pieces.len() || same < known.measures.len() {
            costs.truncate(same);
        }
        costs
    }

    /// Keeps what was found out of the stretch that comes next.
    pub(super) fn keep(
        &mut self,
        pieces: &[Measure],
        (room, left): (f64, bool),
        costs: Vec<LeastCosts>,
    ) {
        if !self.keeps {
            return;
        }
        let measures = pieces.to_vec();
        let stretch = Stretch { measures, room, left, costs };
        match self.stretches.get_mut(self.next) {
            Some(known) => *known = stretch,
            None => self.stretches.push(stretch),
        }
        self.next += 1;
    }
}
