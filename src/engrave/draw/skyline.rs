//! The outline of what is already drawn, seen from above or from below.

use kurbo::Rect;
use std::ops::RangeInclusive;

/// Length of a stretch, in staff spaces: a few notes.
const STRETCH: f64 = 8.0;
/// About how many boxes touch one.
const USUAL: usize = 24;
/// Stretches are told apart so far to either side; what lies beyond is in the last of them. A line of
/// music is some hundred spaces long.
const FARTHEST: f64 = 4096.0;

/// Boxes of ink whose upper or lower edges form the outline of a line of music. A slanted or curved
/// mark is many narrow boxes, so that the outline is that of the ink and not of its frame.
#[derive(Clone, Debug, Default)]
pub struct Skyline {
    /// The stretches from zero on.
    right: Vec<Stretch>,
    /// The stretches before zero, from there to the left.
    left: Vec<Stretch>,
    whole: Option<Rect>,
}

/// What touches one stretch of the line.
#[derive(Clone, Debug)]
struct Stretch {
    boxes: Vec<Rect>,
    top: f64,
    bottom: f64,
}

impl Default for Stretch {
    fn default() -> Self {
        Self { boxes: Vec::new(), top: f64::INFINITY, bottom: f64::NEG_INFINITY }
    }
}

impl Stretch {
    fn add(&mut self, rect: Rect) {
        if self.boxes.is_empty() {
            self.boxes.reserve(USUAL);
        }
        self.boxes.push(rect);
        self.top = self.top.min(rect.y0);
        self.bottom = self.bottom.max(rect.y1);
    }

    fn between(&self, x0: f64, x1: f64) -> impl Iterator<Item = &Rect> {
        self.boxes.iter().filter(move |r| r.x0 < x1 && r.x1 > x0)
    }
}

/// The numbers of the stretches between two x, the first to the right of zero numbered zero.
fn stretches(x0: f64, x1: f64) -> RangeInclusive<isize> {
    // `f64::floor` is a call on processors that this is built for.
    let number = |x: f64| {
        let exact = (x / STRETCH).clamp(-FARTHEST, FARTHEST);
        let towards_zero = exact as isize;
        towards_zero - isize::from(towards_zero as f64 > exact)
    };
    number(x0)..=number(x1)
}

impl Skyline {
    /// Adds a box of ink.
    pub fn add(&mut self, rect: Rect) {
        if rect.width() >= 0.0 && rect.height() >= 0.0 {
            for number in stretches(rect.x0, rect.x1) {
                self.stretch_mut(number).add(rect);
            }
            self.whole = Some(self.whole.map_or(rect, |whole| whole.union(rect)));
        }
    }

    /// The highest ink (least y) between two x; `otherwise` where there is none.
    pub fn top(&self, x0: f64, x1: f64, otherwise: f64) -> f64 {
        let mut top = otherwise;
        for stretch in self.between(x0, x1) {
            if stretch.top < top {
                top = stretch.between(x0, x1).map(|r| r.y0).fold(top, f64::min);
            }
        }
        top
    }

    /// The lowest ink (greatest y) between two x; `otherwise` where there is none.
    pub fn bottom(&self, x0: f64, x1: f64, otherwise: f64) -> f64 {
        let mut bottom = otherwise;
        for stretch in self.between(x0, x1) {
            if stretch.bottom > bottom {
                bottom = stretch.between(x0, x1).map(|r| r.y1).fold(bottom, f64::max);
            }
        }
        bottom
    }

    /// How far another outline must be moved down so that no ink of it lies over that of this one; nothing
    /// where they share no x.
    pub fn distance_to(&self, below: &Self) -> Option<f64> {
        let boxes = self.right.iter().chain(&self.left).flat_map(|stretch| &stretch.boxes);
        let apart = boxes.map(|over| over.y1 - below.top(over.x0, over.x1, f64::INFINITY));
        apart.filter(|apart| apart.is_finite()).reduce(f64::max)
    }

    /// The box of everything.
    pub fn whole(&self) -> Rect {
        self.whole.unwrap_or(Rect::ZERO)
    }

    fn between(&self, x0: f64, x1: f64) -> impl Iterator<Item = &Stretch> {
        stretches(x0, x1.max(x0)).filter_map(|number| self.stretch(number))
    }

    fn stretch(&self, number: isize) -> Option<&Stretch> {
        match usize::try_from(number) {
            Ok(at) => self.right.get(at),
            Err(_) => self.left.get(number.unsigned_abs() - 1),
        }
    }

    fn stretch_mut(&mut self, number: isize) -> &mut Stretch {
        let (side, at) = match usize::try_from(number) {
            Ok(at) => (&mut self.right, at),
            Err(_) => (&mut self.left, number.unsigned_abs() - 1),
        };
        if side.len() <= at {
            side.resize_with(at + 1, Stretch::default);
        }
        &mut side[at]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ink_is_found_on_both_sides_of_zero_and_far_away() {
        let mut skyline = Skyline::default();
        for x in [-1e9, -20.0, -4.0, 0.0, 30.0, 1e9] {
            skyline.add(Rect::new(x, x / 10.0, x + 2.0, x / 10.0 + 1.0));
        }
        for x in [-1e9, -20.0, -4.0, 0.0, 30.0, 1e9] {
            assert_eq!(skyline.top(x + 1.5, x + 1.6, f64::INFINITY), x / 10.0, "{x}");
            assert_eq!(skyline.bottom(x + 1.5, x + 1.6, f64::NEG_INFINITY), x / 10.0 + 1.0, "{x}");
        }
        assert_eq!(skyline.top(10.0, 20.0, 7.0), 7.0);
        assert_eq!(skyline.top(-30.0, 40.0, 7.0), -2.0);
        assert_eq!(skyline.bottom(-30.0, 40.0, 7.0), 7.0);
        assert!(skyline.right.len() <= FARTHEST as usize + 1);
    }
}
