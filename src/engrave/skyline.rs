//! The outline of what is already drawn, seen from above or from below.

use kurbo::Rect;

/// Boxes of ink whose upper or lower edges form the outline of a line of music.
#[derive(Clone, Debug, Default)]
pub struct Skyline {
    boxes: Vec<Rect>,
}

impl Skyline {
    /// Adds a box of ink.
    pub fn add(&mut self, rect: Rect) {
        if rect.width() >= 0.0 && rect.height() >= 0.0 {
            self.boxes.push(rect);
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
        self.boxes.iter().copied().reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
    }

    fn between(&self, x0: f64, x1: f64) -> impl Iterator<Item = &Rect> {
        self.boxes.iter().filter(move |r| r.x0 < x1 && r.x1 > x0)
    }
}
