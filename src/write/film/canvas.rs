//! The pixels of a frame, and which of them are new.

use super::sprite::Sprite;
use kurbo::Rect;
use resvg::tiny_skia::{BlendMode, Pixmap, PixmapPaint, PremultipliedColorU8, Transform};
use std::sync::Arc;

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
    fn union(self, other: Self) -> Self {
        let (x, y) = (self.x.min(other.x), self.y.min(other.y));
        let (right, bottom) = (self.right().max(other.right()), self.bottom().max(other.bottom()));
        Self { x, y, width: right - x, height: bottom - y }
    }
}

/// What is laid over a page.
#[derive(Clone)]
pub(super) struct Overlay {
    pub(super) sprite: Arc<Sprite>,
}

impl PartialEq for Overlay {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.sprite, &other.sprite)
    }
}

/// The pixels of a frame: a page, and what is laid over it.
pub(super) struct Canvas {
    area: Area,
    /// Light times opacity.
    pixels: Pixmap,
    /// The same with light and opacity apart: red, green, blue, opacity.
    straight: Vec<u8>,
    /// The page that is shown.
    page: Option<Arc<Pixmap>>,
    overlays: Vec<Overlay>,
}

impl Canvas {
    /// Clear pixels; nothing where there is no memory for so many.
    pub(super) fn new(width: u32, height: u32) -> Option<Self> {
        let pixels = Pixmap::new(width, height)?;
        let straight = vec![0; pixels.data().len()];
        let area = Area::whole(width, height);
        Some(Self { area, pixels, straight, page: None, overlays: Vec::new() })
    }

    /// Its pixels, row by row: red, green, blue, opacity.
    pub(super) fn bytes(&self) -> &[u8] {
        &self.straight
    }

    /// Shows a page with what lies over it; the pixels that are new.
    pub(super) fn show(
        &mut self,
        page: Option<Arc<Pixmap>>,
        overlays: Vec<Overlay>,
    ) -> Option<Area> {
        let same = match (&self.page, &page) {
            (Some(before), Some(now)) => Arc::ptr_eq(before, now),
            (None, None) => true,
            (Some(_), None) | (None, Some(_)) => false,
        };
        if same && self.overlays == overlays {
            return None;
        }
        let changed = if same { self.changed(&overlays) } else { Some(self.area) };
        let before = std::mem::replace(&mut self.overlays, overlays);
        self.page = page;
        if same {
            before.iter().for_each(|overlay| self.restore(overlay.sprite.area));
        } else {
            self.restore(self.area);
        }
        for overlay in &self.overlays {
            let (area, pixels) = (overlay.sprite.area, overlay.sprite.pixels.as_ref());
            let paint = PixmapPaint { blend_mode: BlendMode::SourceOver, ..PixmapPaint::default() };
            let (x, y) = (area.x.cast_signed(), area.y.cast_signed());
            self.pixels.draw_pixmap(x, y, pixels, &paint, Transform::identity(), None);
        }
        if let Some(area) = changed {
            self.take_apart(area);
        }
        changed
    }

    /// Where what lies over the page is not what lay there before.
    fn changed(&self, overlays: &[Overlay]) -> Option<Area> {
        let gone = self.overlays.iter().filter(|own| !overlays.contains(own));
        let come = overlays.iter().filter(|own| !self.overlays.contains(own));
        let areas = gone.chain(come).map(|overlay| overlay.sprite.area);
        areas.reduce(Area::union).and_then(|area| area.within(self.area))
    }

    /// Shows the page alone.
    fn restore(&mut self, area: Area) {
        let Some(area) = area.within(self.area) else { return };
        let width = self.area.width as usize;
        for rows in rows(area, width) {
            let Some(own) = self.pixels.pixels_mut().get_mut(rows.clone()) else { continue };
            match self.page.as_ref().and_then(|page| page.pixels().get(rows)) {
                Some(page) => own.copy_from_slice(page),
                None => own.fill(PremultipliedColorU8::TRANSPARENT),
            }
        }
    }

    /// Light and opacity apart.
    fn take_apart(&mut self, area: Area) {
        for row in rows(area, self.area.width as usize) {
            let bytes = row.start * 4..row.end * 4;
            let own = self.pixels.pixels().get(row).unwrap_or_default();
            let straight = self.straight.get_mut(bytes).unwrap_or_default();
            for (pixel, straight) in own.iter().zip(straight.chunks_exact_mut(4)) {
                let pixel = match pixel.alpha() {
                    0 => [0; 4],
                    u8::MAX => [pixel.red(), pixel.green(), pixel.blue(), u8::MAX],
                    _ => {
                        let apart = pixel.demultiply();
                        [apart.red(), apart.green(), apart.blue(), apart.alpha()]
                    }
                };
                straight.copy_from_slice(&pixel);
            }
        }
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
