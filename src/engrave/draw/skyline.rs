//! The outline of what is already drawn, seen from above or from below.

use kurbo::Rect;
use std::collections::BTreeMap;

/// Length of a stretch, in staff spaces: a few notes.
const STRETCH: f64 = 8.0;

/// Boxes of ink whose upper or lower edges form the outline of a line of music. A slanted or curved
/// mark is many narrow boxes, so that the outline is that of the ink and not of its frame.
#[derive(Clone, Debug, Default)]
pub struct Skyline {
    /// Boxes by the stretches of the line they touch.
    stretches: BTreeMap<i32, Vec<Rect>>,
    whole: Option<Rect>,
}

fn stretch(x: f64) -> i32 {
    (x / STRETCH).floor() as i32
}

impl Skyline {
    /// Adds a box of ink.
    pub fn add(&mut self, rect: Rect) {
        if rect.width() >= 0.0 && rect.height() >= 0.0 {
            for at in stretch(rect.x0)..=stretch(rect.x1) {
                self.stretches.entry(at).or_default().push(rect);
            }
            self.whole = Some(self.whole.map_or(rect, |whole| whole.union(rect)));
        }
    }

    /// The highest ink (least y) between two x; `otherwise` where there is none.
    pub fn top(&self, x0: f64, x1: f64, otherwise: f64) -> f64 {
        self.between(x0, x1).map(|r| r.y0).fold(otherwise, f64::min)
    }

    /// The lowest ink (greatest y) between two x; `otherwise` where there is none.
    pub fn bottom(&self, x0: f64, x1: f64, otherwise: f64) -> f64 {
        self.between(x0, x1).map(|r| r.y1).fold(otherwise, f64::max)
    }

    /// The box of everything.
    pub fn whole(&self) -> Rect {
        self.whole.unwrap_or(Rect::ZERO)
    }

    fn between(&self, x0: f64, x1: f64) -> impl Iterator<Item = &Rect> {
        let stretches = self.stretches.range(stretch(x0)..=stretch(x1.max(x0)));
        stretches.flat_map(|(_, boxes)| boxes).filter(move |r| r.x0 < x1 && r.x1 > x0)
    }
}
