//! Phrases over the staff that share a baseline.

use super::canvas::Canvas;
use super::context::Context;
use super::phrase::Phrase;
use crate::drawing::Mark;
use crate::source::Location;

/// Clear space under words and notes over the staff.
const LIFT: f64 = 1.0;
/// Clear space beside words over the staff: signs nearer than that are under them.
const CLEAR: f64 = 1.8;
/// Clear space beside each of two phrases on one baseline.
const ROOM: f64 = 0.8;
/// Between phrases that follow each other at one place, as a section letter and a tempo.
const FOLLOWING: f64 = 1.6;
/// The furthest a phrase may be moved to follow another on its baseline.
const FURTHEST: f64 = 14.0;

/// A phrase with its place in the line.
#[derive(Debug)]
pub struct Item {
    /// Its marks, on a baseline at y nought.
    pub phrase: Phrase,
    /// x of its left end.
    pub left: f64,
    /// It may move to the right to follow what stands at its place, and stays on its baseline.
    pub follows: bool,
    /// Where it is written.
    pub place: Option<Location>,
}

impl Item {
    fn right(&self) -> f64 {
        self.left + self.phrase.width
    }
}

/// Draws phrases over everything drawn so far, all on one baseline; those that would run into the
/// one before go to a further baseline above it. None begins before the line does or ends after
/// `width`, and none stands lower than `inner`, the baseline of the phrases drawn before; the
/// baseline nearest the staff.
pub fn draw(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    mut items: Vec<Item>,
    width: f64,
    staff_top: f64,
    inner: f64,
) -> f64 {
    items.sort_by(|a, b| a.left.total_cmp(&b.left));
    let mut shelves: Vec<Vec<Item>> = Vec::new();
    for mut item in items {
        item.left = item.left.min(width - item.phrase.width).max(0.0);
        let free = |shelf: &&mut Vec<Item>| {
            shelf.last().is_none_or(|last| last.right() + 2.0 * ROOM <= item.left)
        };
        if let Some(shelf) = shelves.iter_mut().find(free) {
            shelf.push(item);
            continue;
        }
        let after = shelves.first().and_then(|shelf| shelf.last()).map(|last| last.right());
        if let (true, Some(after)) = (item.follows, after)
            && after + FOLLOWING - item.left <= FURTHEST
            && after + FOLLOWING + item.phrase.width <= width
        {
            item.left = after + FOLLOWING;
            if let Some(shelf) = shelves.first_mut() {
                shelf.push(item);
            }
            continue;
        }
        shelves.push(vec![item]);
    }
    let mut nearest = None;
    for shelf in shelves {
        let clear = |item: &Item| {
            let top = canvas.skyline.top(item.left - CLEAR, item.right() + CLEAR, staff_top);
            let marks = item.phrase.marks.iter();
            let descent = marks.map(|m| context.bounds(&m.shape).y1).fold(0.0, f64::max);
            top - LIFT - descent
        };
        let baseline = shelf.iter().map(clear).fold(inner, f64::min);
        nearest.get_or_insert(baseline);
        for item in shelf {
            for mark in item.phrase.marks {
                let shape = mark.shape.scaled_and_moved(1.0, item.left, baseline);
                canvas.push_at(Mark { shape, ..mark }, item.place);
            }
        }
    }
    nearest.unwrap_or(inner)
}
