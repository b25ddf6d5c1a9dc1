//! Small pictures that are laid over a page.

use super::area::Area;
use super::painter::{Painter, bounds};
use crate::drawing::Node;
use crate::score::Colour;
use kurbo::Vec2;
use resvg::tiny_skia::Pixmap;

/// A small picture and its place on a frame.
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
        let ink_box = bounds(nodes, painter.fonts())?;
        let area = Area::around(ink_box.inflate(painter.reach(), painter.reach())).within(frame)?;
        let mut pixels = Pixmap::new(area.width, area.height)?;
        painter.put(&mut pixels, Vec2::new(f64::from(area.x), f64::from(area.y)), nodes, ink);
        Some(Self { area, pixels })
    }
}
