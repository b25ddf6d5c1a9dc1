//! Pages for least total badness over the whole document (Knuth and Plass 1981, with pieces in the
//! place of words and pages in the place of lines).
//!
//! Measures before it commits: a stretch of pieces knows its height and how far its gaps give
//! before any page is made of it.

use super::cost::{Height, LeastCost, LeastCosts, SHRINK};
use super::measure::Measure;
use super::piece::{Bond, Turn};
use std::ops::Range;

/// Pieces of one page, and how its gaps are set.
#[derive(Clone, Debug, PartialEq)]
pub struct Leaf {
    /// Its pieces. Empty on a page left blank so that the next opens on the right.
    pub pieces: Range<usize>,
    /// Factor on the gaps that give.
    pub gaps: f64,
}

/// The cost of a page. All costs are measured against this one.
const PAGE: f64 = 100.0;
/// The cost of a page left empty but for a sliver; falls with the square of what fills it.
const EMPTY: f64 = 1500.0;
/// A gap set as tight as it may be.
const TIGHT: f64 = 60.0;
/// A block or a paragraph parted between two pages.
const PARTED: f64 = 40.0;
/// A page to be turned while the hands play, over that of a block parted.
const BUSY: f64 = 20.0;
/// Prose parted from the music it speaks of: as bad as a page half empty, so that a block gives up a
/// line to stay with its words.
const APART: f64 = 500.0;
/// Prose parted from music it may speak of.
const LEANING: f64 = 15.0;
/// Pieces parted that belong together. Only a chain taller than a page pays it.
const TORN: f64 = 1e5;
/// A last page filled less than this is nearly empty.
const SLIVER: f64 = 0.2;
/// The cost of a nearly empty last page.
const LONELY: f64 = 300.0;

/// The least cost of a stretch without forced breaks up to each of its pieces, whose first page is a
/// left-hand one or not; `known` are the first of them.
pub(super) fn least_costs(
    pieces: &[Measure],
    room: f64,
    left: bool,
    known: Vec<LeastCosts>,
) -> Vec<LeastCosts> {
    let count = pieces.len();
    let mut costs = known;
    costs.reserve(count + 1 - costs.len().min(count + 1));
    if costs.is_empty() {
        costs.push([LeastCost::NOTHING, LeastCost::NONE]);
    }
    for to in costs.len()..=count {
        let mut found = [LeastCost::NONE; 2];
        // The last of an even number of pages lies on the side that the first does not.
        let turned = [left, !left].map(|right| parting(pieces, to, right));
        let mut below = Height::default();
        for from in (0..to).rev() {
            let Some(piece) = pieces.get(from) else { break };
            let height = Height { fixed: below.fixed + piece.height, ..below };
            let alone = to - from == 1;
            if height.least() > room && !alone {
                break;
            }
            let mut own = None;
            for (odd, found) in found.iter_mut().enumerate() {
                let before = costs[from][1 - odd].cost + turned[odd];
                // No page costs less than this.
                if before + PAGE < found.cost {
                    let page = *own.get_or_insert_with(|| page_cost(height, room, to == count));
                    if before + page < found.cost {
                        *found = LeastCost { cost: before + page, from, height };
                    }
                }
            }
            below = height;
            if piece.elastic {
                below.gaps += piece.before;
            } else {
                below.fixed += piece.before;
            }
        }
        costs.push(found);
    }
    costs
}

/// The pages of a stretch of so many pieces.
pub(super) fn pages(costs: &[LeastCosts], count: usize, room: f64) -> Vec<Leaf> {
    let mut leaves = Vec::new();
    let mut to = count;
    let mut odd = usize::from(costs[count][1].cost < costs[count][0].cost);
    while to > 0 {
        let LeastCost { from, height, .. } = costs[to][odd];
        // The last page keeps its natural gaps unless they must give.
        let full = to < count || height.natural() > room;
        let gaps = if full { height.factor(room) } else { 1.0 };
        leaves.push(Leaf { pieces: from..to, gaps });
        to = from.min(to - 1);
        odd = 1 - odd;
    }
    leaves.reverse();
    leaves
}

fn page_cost(height: Height, room: f64, last: bool) -> f64 {
    let natural = height.natural();
    if natural > room {
        let give = (height.gaps * SHRINK).max(1e-6);
        return PAGE + TIGHT * ((natural - room) / give).min(10.0).powi(3);
    }
    let left = (room - natural) / room;
    if last {
        let lonely = ((SLIVER - (1.0 - left)) / SLIVER).max(0.0);
        return PAGE + LONELY * lonely;
    }
    PAGE + EMPTY * left * left
}

/// What it costs to end a page, on the right or on the left, before the piece of an index.
fn parting(pieces: &[Measure], to: usize, right: bool) -> f64 {
    let (Some(last), Some(next)) = (pieces.get(to - 1), pieces.get(to)) else { return 0.0 };
    if last.keep_with_next {
        TORN
    } else if !next.begins {
        // A right-hand page is turned where it ends.
        match next.turn {
            Turn::Busy if right => PARTED + BUSY,
            Turn::Said if right => 0.0,
            Turn::Idle | Turn::Busy | Turn::Rest | Turn::Said => PARTED,
        }
    } else {
        match next.bond {
            Bond::Close => APART,
            Bond::Leaning => LEANING,
            Bond::Free => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::broken::Broken;
    use crate::pages::column::ColumnPiece;
    use crate::pages::piece::{Opens, Piece};

    fn break_pages(pieces: &[ColumnPiece], room: f64) -> Vec<Leaf> {
        Broken::of(&pieces.iter().cloned().collect(), room, None).leaves
    }

    fn piece(height: f64, before: f64) -> ColumnPiece {
        Piece { height, before, elastic: true, begins: true, ..Piece::default() }.into()
    }

    fn ends(pieces: &[ColumnPiece], room: f64) -> Vec<usize> {
        break_pages(pieces, room).iter().map(|leaf| leaf.pieces.end).collect()
    }

    fn height(pieces: &[ColumnPiece], leaf: &Leaf) -> f64 {
        let set = &pieces[leaf.pieces.clone()];
        let gaps: f64 = set.iter().skip(1).map(|p| p.measure.before).sum();
        set.iter().map(|p| p.measure.height).sum::<f64>() + gaps * leaf.gaps
    }

    #[test]
    fn a_title_is_never_the_last_of_its_page() {
        let mut pieces: Vec<ColumnPiece> = (0..9).map(|_| piece(90.0, 10.0)).collect();
        pieces[4].measure.keep_with_next = true;
        assert_eq!(ends(&pieces, 490.0), [4, 9]);
    }

    #[test]
    fn a_little_tightening_saves_a_nearly_empty_page() {
        let pieces: Vec<ColumnPiece> = (0..11).map(|_| piece(80.0, 20.0)).collect();
        let leaves = break_pages(&pieces, 1040.0);
        assert_eq!(leaves.len(), 1);
        assert!(leaves[0].gaps < 1.0);
        assert!(height(&pieces, &leaves[0]) <= 1040.0 + 1e-6);
    }

    #[test]
    fn a_full_page_is_filled_to_its_foot() {
        let pieces: Vec<ColumnPiece> = (0..8).map(|_| piece(80.0, 20.0)).collect();
        let leaves = break_pages(&pieces, 500.0);
        assert_eq!(leaves.len(), 2);
        assert!((height(&pieces, &leaves[0]) - 500.0).abs() < 1e-6);
        assert_eq!(leaves[1].gaps, 1.0);
    }

    #[test]
    fn what_is_taller_than_a_page_stands_alone() {
        let mut pieces = vec![piece(90.0, 10.0), piece(900.0, 10.0), piece(90.0, 10.0)];
        assert_eq!(ends(&pieces, 500.0), [1, 2, 3]);
        // A chain that no page holds is torn, and nothing is lost.
        pieces.iter_mut().for_each(|p| p.measure.keep_with_next = true);
        assert_eq!(ends(&pieces, 500.0), [1, 2, 3]);
    }

    #[test]
    fn prose_stays_with_its_music() {
        // Three pieces fill a page, and the fourth speaks of the third.
        let mut pieces: Vec<ColumnPiece> = (0..6).map(|_| piece(150.0, 10.0)).collect();
        assert_eq!(ends(&pieces, 480.0), [3, 6]);
        pieces[3].measure.bond = Bond::Close;
        assert_eq!(ends(&pieces, 480.0), [2, 5, 6]);
        // A chain longer than a page is parted where it must be.
        pieces.iter_mut().for_each(|p| p.measure.bond = Bond::Close);
        assert_eq!(ends(&pieces, 480.0), [3, 6]);
    }

    #[test]
    fn a_block_gives_up_a_line_to_stay_with_its_prose() {
        let mut pieces: Vec<ColumnPiece> = (0..4).map(|_| piece(110.0, 10.0)).collect();
        // Lines of one block, and a paragraph about it.
        (1..3).for_each(|line| pieces[line].measure.begins = false);
        pieces[3].measure.bond = Bond::Close;
        assert_eq!(ends(&pieces, 360.0), [2, 4]);
    }

    #[test]
    fn a_chapter_may_open_on_the_right() {
        let mut pieces: Vec<ColumnPiece> = (0..4).map(|_| piece(90.0, 10.0)).collect();
        pieces[1].measure.opens = Opens::RightPage;
        pieces[3].measure.opens = Opens::NewPage;
        let leaves = break_pages(&pieces, 500.0);
        let pages: Vec<_> = leaves.iter().map(|leaf| leaf.pieces.clone()).collect();
        assert_eq!(pages, [0..1, 1..1, 1..3, 3..4]);
    }

    #[test]
    fn a_block_may_open_on_the_left() {
        let mut pieces: Vec<ColumnPiece> = (0..3).map(|_| piece(90.0, 10.0)).collect();
        pieces[1].measure.opens = Opens::LeftPage;
        pieces[2].measure.opens = Opens::LeftPage;
        let leaves = break_pages(&pieces, 500.0);
        let pages: Vec<_> = leaves.iter().map(|leaf| leaf.pieces.clone()).collect();
        assert_eq!(pages, [0..1, 1..2, 2..2, 2..3]);
    }

    #[test]
    fn a_right_hand_page_is_turned_where_the_hands_rest() {
        // Lines of one block, of which ten fill a page.
        let mut pieces: Vec<ColumnPiece> = (0..28).map(|_| piece(40.0, 10.0)).collect();
        pieces.iter_mut().skip(1).for_each(|piece| {
            piece.measure.begins = false;
            piece.measure.turn = Turn::Busy;
        });
        assert_eq!(ends(&pieces, 490.0), [10, 20, 28]);
        pieces[9].measure.turn = Turn::Said;
        assert_eq!(ends(&pieces, 490.0), [9, 19, 28]);
        pieces[9].measure.turn = Turn::Rest;
        assert_eq!(ends(&pieces, 490.0), [9, 19, 28]);
        // From a left-hand page one sees the next.
        pieces[9].measure.turn = Turn::Busy;
        pieces[18].measure.turn = Turn::Said;
        assert_eq!(ends(&pieces, 490.0), [10, 20, 28]);
    }

    #[test]
    fn no_pieces_are_one_empty_page() {
        assert_eq!(break_pages(&[], 500.0).len(), 1);
    }

    #[test]
    fn costs_are_least_over_all_ways_to_break() {
        // Every way to break six pieces of uneven height, tried one by one.
        let heights = [120.0, 60.0, 200.0, 90.0, 150.0, 70.0];
        let pieces: Vec<ColumnPiece> = heights.iter().map(|h| piece(*h, 15.0)).collect();
        let room = 330.0;
        let cost_of = |ends: &[usize]| {
            let mut from = 0;
            let mut total = 0.0;
            for to in ends {
                let set = &pieces[from..*to];
                let height = Height {
                    fixed: set.iter().map(|p| p.measure.height).sum(),
                    gaps: set.iter().skip(1).map(|p| p.measure.before).sum(),
                };
                if height.least() > room && set.len() > 1 {
                    return f64::INFINITY;
                }
                total += page_cost(height, room, *to == pieces.len());
                from = *to;
            }
            total
        };
        let mut least = f64::INFINITY;
        for cuts in 0..1_u32 << 5 {
            let ends: Vec<usize> = (1..6).filter(|i| cuts >> (i - 1) & 1 == 1).chain([6]).collect();
            least = least.min(cost_of(&ends));
        }
        assert!((cost_of(&ends(&pieces, room)) - least).abs() < 1e-9);
    }
}
