//! Boxes of whole pixels.

use kurbo::Rect;

/// A box of pixels on a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    /// Its left column, from 0.
    pub x: u32,
    /// Its upper row, from 0.
    pub y: u32,
    /// Its columns; at least one.
    pub width: u32,
    /// Its rows; at least one.
    pub height: u32,
}

impl Area {
    /// A whole frame.
    pub(super) fn whole(width: u32, height: u32) -> Self {
        Self { x: 0, y: 0, width, height }
    }

    /// The pixels a box touches, right of and under the origin.
    pub(super) fn around(rect: Rect) -> Self {
        let (x, y) = (rect.x0.floor().max(0.0), rect.y0.floor().max(0.0));
        let (x1, y1) = (rect.x1.ceil().max(x + 1.0), rect.y1.ceil().max(y + 1.0));
        Self { x: x as u32, y: y as u32, width: (x1 - x) as u32, height: (y1 - y) as u32 }
    }

    fn right(self) -> u32 {
        self.x.saturating_add(self.width)
    }

    fn bottom(self) -> u32 {
        self.y.saturating_add(self.height)
    }

    /// What of it lies in another.
    pub(super) fn within(self, other: Self) -> Option<Self> {
        let (x, y) = (self.x.max(other.x), self.y.max(other.y));
        let (right, bottom) = (self.right().min(other.right()), self.bottom().min(other.bottom()));
        (x < right && y < bottom).then(|| Self { x, y, width: right - x, height: bottom - y })
    }

    /// The smallest that holds both.
    pub(super) fn union(self, other: Self) -> Self {
        let (x, y) = (self.x.min(other.x), self.y.min(other.y));
        let (right, bottom) = (self.right().max(other.right()), self.bottom().max(other.bottom()));
        Self { x, y, width: right - x, height: bottom - y }
    }
}

/// The pixels of the rows of a box, in a picture of a width.
pub(super) fn rows(area: Area, width: usize) -> impl Iterator<Item = std::ops::Range<usize>> {
    let (x, y) = (area.x as usize, area.y as usize);
    (0..area.height as usize).map(move |row| {
        let start = (y + row) * width + x;
        start..start + area.width as usize
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_are_boxes_of_whole_pixels() {
        let area = Area::around(Rect::new(-2.0, 3.2, 4.1, 5.0));
        assert_eq!(area, Area { x: 0, y: 3, width: 5, height: 2 });
        assert_eq!(area.within(Area::whole(3, 4)), Some(Area { x: 0, y: 3, width: 3, height: 1 }));
        assert_eq!(area.within(Area::whole(3, 3)), None);
        let both = area.union(Area { x: 7, y: 0, width: 1, height: 1 });
        assert_eq!(both, Area { x: 0, y: 0, width: 8, height: 5 });
        assert_eq!(rows(area, 10).collect::<Vec<_>>(), [30..35, 40..45]);
    }
}
