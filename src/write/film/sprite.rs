//! Pictures that are laid over each other.

use super::area::Area;
use super::painter::{Painter, bounds};
use crate::drawing::{Ink, Node};
use crate::score::Colour;
use kurbo::{BezPath, Rect, Shape as _, Vec2};
use resvg::tiny_skia::Pixmap;

/// A picture and its place on a frame.
pub(super) struct Sprite {
    pub(super) area: Area,
    pub(super) pixels: Pixmap,
}

impl Sprite {
    /// Nodes of a frame; nothing where they have no ink on it.
    pub(super) fn of(
        painter: &Painter<'_>,
        nodes: &[Node],
        ink: Colour,
        frame: Area,
    ) -> Option<Self> {
        let mut own = Self::clear(painter, bounds(nodes, painter.fonts())?, frame)?;
        let corner = own.corner();
        painter.put(&mut own.pixels, corner, nodes, ink);
        Some(own)
    }

    /// Outlines on a frame.
    pub(super) fn of_paths(
        painter: &Painter<'_>,
        paths: &[(BezPath, Ink)],
        ink: Colour,
        frame: Area,
    ) -> Option<Self> {
        let boxes = paths.iter().map(|(path, _)| path.bounding_box());
        let mut own = Self::clear(painter, boxes.reduce(|a, b| a.union(b))?, frame)?;
        let corner = own.corner();
        painter.put_outlines(&mut own.pixels, corner, paths, ink);
        Some(own)
    }

    /// Clear pixels around ink.
    fn clear(painter: &Painter<'_>, ink: Rect, frame: Area) -> Option<Self> {
        let area = Area::around(ink.inflate(painter.reach(), painter.reach())).within(frame)?;
        Some(Self { area, pixels: Pixmap::new(area.width, area.height)? })
    }

    fn corner(&self) -> Vec2 {
        Vec2::new(f64::from(self.area.x), f64::from(self.area.y))
    }

    /// The bytes of a row of the frame, as far as it lies in a part of the picture.
    pub(super) fn row(&self, part: Area, y: u32) -> &[u8] {
        let row = (y - self.area.y) as usize * self.area.width as usize;
        let start = (row + (part.x - self.area.x) as usize) * 4;
        self.pixels.data().get(start..start + part.width as usize * 4).unwrap_or_default()
    }
}
