//! A column broken into pages, and broken again only where it was changed.

use super::breaking::{Leaf, least_costs, pages};
use super::column::ColumnPiece;
use super::cost::LeastCosts;
use super::measure::Measure;
use super::piece::{Opens, Turn};
use crate::parallel::{Each, map_in_order};
use crate::rope::{Change, Rope};
use std::ops::Range;
use std::sync::Arc;

/// A column broken into pages.
#[derive(Clone, Debug)]
pub struct Broken {
    pieces: Rope<ColumnPiece>,
    /// The height of a page, in points.
    room: f64,
    stretches: Vec<Stretch>,
    /// The pages in order.
    pub leaves: Vec<Leaf>,
}

/// Pieces from one that opens a page up to the next that does: how they are broken depends on no other piece.
#[derive(Clone, Debug)]
struct Stretch {
    pieces: Range<usize>,
    /// Where its first page may stand.
    opens: Opens,
    /// Whether a page is turned inside of its music. Where none is, all pages are alike.
    turns: bool,
    /// Whether its first page is a left-hand one, where that matters.
    left: bool,
    /// The least costs up to each of its pieces.
    costs: Arc<[LeastCosts]>,
    /// Its pages, which count pieces from its first.
    leaves: Arc<[Leaf]>,
}

impl Broken {
    /// Breaks pieces into pages with `room` points of height. What is as it was in an `earlier` column is not
    /// broken again.
    pub fn of(pieces: &Rope<ColumnPiece>, room: f64, earlier: Option<&Self>) -> Self {
        let earlier = earlier.filter(|earlier| earlier.room == room);
        let known = earlier.map_or(&[][..], |earlier| &earlier.stretches);
        let same = |one: &ColumnPiece, other: &ColumnPiece| one.measure == other.measure;
        let change = match earlier {
            Some(earlier) => pieces.changed_from(&earlier.pieces, same),
            None => Change { old: 0..0, new: 0..pieces.len() },
        };
        if let Some(earlier) = earlier
            && change.is_none()
        {
            return Self { pieces: pieces.clone(), ..earlier.clone() };
        }
        // Where one ends that ends at the change, a page may be opened no longer.
        let before = known.partition_point(|known| known.pieces.end < change.old.start);
        // The first begins where it does whether its first piece opens a page or not.
        let is_over = |start: usize| start > 0 && start >= change.old.end;
        let after = known.partition_point(|known| !is_over(known.pieces.start)).max(before);
        let (first, last) = (known.get(..before).unwrap_or(&[]), known.get(after..).unwrap_or(&[]));
        let mut broken =
            Self { pieces: pieces.clone(), room, stretches: Vec::new(), leaves: Vec::new() };
        first.iter().for_each(|known| broken.add_known(known.clone()));
        let from = first.last().map_or(0, |known| known.pieces.end);
        let until = last.first().map_or(pieces.len(), |known| change.moved(known.pieces.start));
        broken.add(from..until, known.get(before), change.new.start.saturating_sub(from));
        for known in last {
            let moved = change.moved(known.pieces.start)..change.moved(known.pieces.end);
            broken.add_known(Stretch { pieces: moved, ..known.clone() });
        }
        if broken.leaves.is_empty() {
            broken.leaves.push(Leaf { pieces: 0..0, gaps: 1.0 });
        }
        broken
    }

    /// Gives up what is seen of its pieces; how high they are is still known.
    pub fn spend(&mut self) {
        let nothing = Arc::default();
        self.pieces =
            self.pieces.iter().map(|piece| piece.spent(&nothing)).collect::<Vec<_>>().into();
    }

    /// Whether the next page is a left-hand one, after a page left blank where what opens it asks for one.
    fn next_is_left(&mut self, first: usize, opens: Opens) -> bool {
        if opens.blank_before(self.leaves.len()) {
            self.leaves.push(Leaf { pieces: first..first, gaps: 1.0 });
        }
        self.leaves.len() % 2 == 1
    }

    /// Adds a stretch that was broken before.
    fn add_known(&mut self, known: Stretch) {
        let left = self.next_is_left(known.pieces.start, known.opens) && known.turns;
        if left == known.left {
            self.push(known);
            return;
        }
        let measures: Vec<Measure> = self.measures(known.pieces.clone());
        self.push(Stretch::new(known.pieces.start, &measures, (self.room, left), Vec::new()));
    }

    /// Breaks the stretches of a range of pieces. Of the first it is `known` how it was broken when its first
    /// pieces, `same` of them, were these.
    fn add(&mut self, range: Range<usize>, known: Option<&Stretch>, same: usize) {
        let measures = self.measures(range.clone());
        let mut parts: Vec<Part<'_>> = Vec::new();
        let mut from = 0;
        while from < measures.len() {
            let opens = |piece: &Measure| piece.opens != Opens::Anywhere;
            let next = measures.iter().skip(from + 1).position(opens);
            let to = next.map_or(measures.len(), |after| from + 1 + after);
            let known = known.filter(|_| from == 0).map(|known| (known, same));
            let measures = measures.get(from..to).unwrap_or(&[]);
            parts.push(Part { start: range.start + from, measures, known });
            from = to;
        }
        let room = self.room;
        // Those of which all pages are alike need not wait for those before them.
        let alike = |part: &Part<'_>| (!turns(part.measures)).then(|| part.broken(room, false));
        let broken = map_in_order(Each::Small, parts.iter().collect(), alike);
        for (part, broken) in parts.iter().zip(broken) {
            let opens = part.measures.first().map_or(Opens::Anywhere, |first| first.opens);
            let left = self.next_is_left(part.start, opens);
            self.push(broken.unwrap_or_else(|| part.broken(room, left)));
        }
    }

    fn measures(&self, range: Range<usize>) -> Vec<Measure> {
        self.pieces.range(range).map(|piece| piece.measure).collect()
    }

    /// Adds a stretch and its pages.
    fn push(&mut self, stretch: Stretch) {
        let start = stretch.pieces.start;
        let moved = |leaf: &Leaf| Leaf {
            pieces: leaf.pieces.start + start..leaf.pieces.end + start,
            ..leaf.clone()
        };
        self.leaves.extend(stretch.leaves.iter().map(moved));
        self.stretches.push(stretch);
    }
}

/// Whether a page may be turned inside of music.
fn turns(measures: &[Measure]) -> bool {
    measures.iter().any(|piece| piece.turn != Turn::Idle)
}

/// The pieces of a stretch that is to be broken.
struct Part<'a> {
    /// The index of the first.
    start: usize,
    measures: &'a [Measure],
    /// How they were broken when so many of the first were these.
    known: Option<(&'a Stretch, usize)>,
}

impl Part<'_> {
    /// Breaks it, where its first page is a left-hand one or where that doesn't matter.
    fn broken(&self, room: f64, left: bool) -> Stretch {
        let known = self.known.filter(|(known, _)| known.left == left);
        // The cost up to a piece counts how that piece begins; and of the last page, that it is the last.
        let costs = known.and_then(|(known, same)| known.costs.get(..same.min(known.costs.len())));
        let costs = costs.unwrap_or(&[]).to_vec();
        Stretch::new(self.start, self.measures, (room, left), costs)
    }
}

impl Stretch {
    /// Breaks a stretch from a piece on; `known` are the first of its least costs.
    fn new(
        start: usize,
        measures: &[Measure],
        (room, left): (f64, bool),
        known: Vec<LeastCosts>,
    ) -> Self {
        let costs = least_costs(measures, room, left, known);
        let leaves = pages(&costs, measures.len(), room);
        Self {
            pieces: start..start + measures.len(),
            opens: measures.first().map_or(Opens::Anywhere, |first| first.opens),
            turns: turns(measures),
            left,
            costs: costs.into(),
            leaves: leaves.into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::piece::Piece;
    use proptest::prelude::*;

    const ROOM: f64 = 500.0;

    fn piece() -> impl Strategy<Value = ColumnPiece> {
        let opens = prop_oneof![
            12 => Just(Opens::Anywhere),
            1 => Just(Opens::NewPage),
            1 => Just(Opens::RightPage),
            1 => Just(Opens::LeftPage),
        ];
        let turn = prop_oneof![3 => Just(Turn::Idle), 1 => Just(Turn::Busy), 1 => Just(Turn::Said)];
        (20.0..200.0, opens, turn, any::<(bool, bool)>()).prop_map(
            |(height, opens, turn, flags)| {
                let (begins, keep_with_next) = flags;
                let piece =
                    Piece { height, before: 10.0, elastic: true, begins, ..Piece::default() };
                let mut piece = ColumnPiece::from(piece);
                piece.measure = Measure { opens, turn, keep_with_next, ..piece.measure };
                piece
            },
        )
    }

    proptest! {
        #[test]
        fn a_changed_column_is_broken_as_a_new_one(
            column in prop::collection::vec(piece(), 0..150),
            changes in prop::collection::vec(
                (0_usize..150, 0_usize..4, prop::collection::vec(piece(), 0..4)),
                1..6,
            ),
        ) {
            let mut pieces: Rope<ColumnPiece> = column.into();
            let mut broken = Broken::of(&pieces, ROOM, None);
            for (at, gone, new) in changes {
                let start = at.min(pieces.len());
                let end = (start + gone).min(pieces.len());
                pieces = pieces.replaced([(start..end, new)]);
                broken = Broken::of(&pieces, ROOM, Some(&broken));
                let anew = Broken::of(&pieces, ROOM, None);
                prop_assert_eq!(&broken.leaves, &anew.leaves);
                let ends = |broken: &Broken| -> Vec<_> {
                    broken.stretches.iter().map(|stretch| stretch.pieces.clone()).collect()
                };
                prop_assert_eq!(ends(&broken), ends(&anew));
            }
        }
    }
}
