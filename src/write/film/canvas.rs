//! The pixels of a frame, and which of them are new.

use super::area::{Area, rows};
use super::sprite::Sprite;
use resvg::tiny_skia::{BlendMode, Pixmap, PixmapPaint, PremultipliedColorU8, Transform};
use std::sync::Arc;

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
