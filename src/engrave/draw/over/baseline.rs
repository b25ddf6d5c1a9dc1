//! Inscriptions over the staff that share a baseline.

use super::inscription::Inscription;
use crate::drawing::Mark;
use crate::engrave::draw::canvas::Canvas;
use crate::score::Span;
/// Clear space under words and notes over the staff (no source).
const LIFT: f64 = 1.0;
/// Clear space beside words over the staff: signs nearer than that are under them (no source).
const CLEAR: f64 = 1.8;
/// Clear space beside each of two inscriptions on one baseline (no source).
pub const ROOM: f64 = 0.8;
/// Between inscriptions that follow each other at one place, as a section letter and a tempo (no
/// source).
const FOLLOWING: f64 = 1.6;
/// The furthest an inscription may be moved to follow another on its baseline (no source).
const FURTHEST: f64 = 14.0;

/// An inscription with its place in the line.
#[derive(Debug)]
pub struct BaselineItem {
    /// Its marks, on a baseline at y zero.
    pub inscription: Inscription,
    /// x of its left end.
    pub left: f64,
    /// It may move to the right to follow what stands at its place, and stays on its baseline.
    pub follows: bool,
    /// Where it is written.
    pub place: Option<Span>,
}

impl BaselineItem {
    fn right(&self) -> f64 {
        self.left + self.inscription.width
    }
}

/// How far inscriptions may reach to the right.
#[derive(Clone, Copy, Debug)]
pub struct Reach {
    /// The end of the line: none that has room before it ends after it.
    pub line: f64,
    /// The end of the room for lines, where a wider one is set smaller.
    pub room: f64,
}

/// Draws inscriptions over everything drawn so far, all on one baseline; those that would run into
/// the one before go to a further baseline above it. None begins before the line does or ends after
/// its `reach`, and none stands lower than `inner`, the baseline of the inscriptions drawn before; the
/// baseline nearest the staff.
pub fn draw(
    canvas: &mut Canvas<'_>,
    items: Vec<BaselineItem>,
    reach: Reach,
    staff_top: f64,
    inner: f64,
) -> f64 {
    let mut nearest = None;
    for items in on_baselines(items, reach) {
        let clear = |item: &BaselineItem| {
            let top = canvas.skyline.top(item.left - CLEAR, item.right() + CLEAR, staff_top);
            let marks = item.inscription.marks.iter();
            let descent = marks.map(|m| canvas.engraver.bounds(&m.shape).y1).fold(0.0, f64::max);
            top - LIFT - descent
        };
        let baseline = items.iter().map(clear).fold(inner, f64::min);
        nearest.get_or_insert(baseline);
        for item in items {
            for mark in item.inscription.marks {
                let shape = mark.shape.scaled_and_moved(1.0, item.left, baseline);
                canvas.push_at(Mark { shape, ..mark }, item.place);
            }
        }
    }
    nearest.unwrap_or(inner)
}

/// Inscriptions by the baselines they stand on, the nearest first.
fn on_baselines(mut items: Vec<BaselineItem>, reach: Reach) -> Vec<Vec<BaselineItem>> {
    let width = reach.line;
    items.iter_mut().for_each(|item| item.inscription.shrink_to(reach.room));
    items.sort_by(|a, b| a.left.total_cmp(&b.left));
    let mut baselines: Vec<Vec<BaselineItem>> = Vec::new();
    for mut item in items {
        item.left = item.left.min(width - item.inscription.width).max(0.0);
        let free = |baseline: &&mut Vec<BaselineItem>| {
            baseline.last().is_none_or(|last| last.right() + 2.0 * ROOM <= item.left)
        };
        if let Some(baseline) = baselines.iter_mut().find(free) {
            baseline.push(item);
            continue;
        }
        let first = baselines.first_mut().filter(|_| item.follows);
        let after = first.as_ref().and_then(|baseline| baseline.last()).map(BaselineItem::right);
        if let (Some(first), Some(after)) = (first, after)
            && after + FOLLOWING - item.left <= FURTHEST
            && after + FOLLOWING + item.inscription.width <= width
        {
            item.left = after + FOLLOWING;
            first.push(item);
            continue;
        }
        baselines.push(vec![item]);
    }
    baselines
}
