//! The pixels of a frame, and which of them are new.

use super::area::{Area, rows};
use super::blend::{apart, over, pixel};
use super::sprite::Sprite;
use crate::score::Colour;
use std::sync::Arc;

/// A small or a large picture that lies over what is under it. It is never changed.
pub(super) type Layer = Arc<Sprite>;

/// The pixels of a frame: a ground, and what lies over it, the lowest first.
pub(super) struct Canvas {
    area: Area,
    ground: u32,
    layers: Vec<Layer>,
    /// A row with light times opacity, while it is drawn.
    row: Vec<u32>,
    /// Light and opacity apart: red, green, blue, opacity.
    straight: Vec<u8>,
    is_drawn: bool,
}

impl Canvas {
    /// A frame on a paper or on nothing; nothing where it has too many pixels.
    pub(super) fn new((width, height): (u32, u32), paper: Option<Colour>) -> Option<Self> {
        let bytes = usize::try_from(u64::from(width) * u64::from(height) * 4).ok()?;
        let mut straight = Vec::new();
        straight.try_reserve_exact(bytes).ok()?;
        straight.resize(bytes, 0);
        let ground = paper.map_or(0, |paper| {
            let [red, green, blue] = paper.parts();
            u32::from_le_bytes([red, green, blue, u8::MAX])
        });
        Some(Self {
            area: Area::whole(width, height),
            ground,
            layers: Vec::new(),
            row: Vec::new(),
            straight,
            is_drawn: false,
        })
    }

    /// Its pixels, row by row: red, green, blue, opacity.
    pub(super) fn bytes(&self) -> &[u8] {
        &self.straight
    }

    /// Shows what lies over its ground; the box of the pixels that are new, and how many were drawn.
    pub(super) fn show(&mut self, layers: Vec<Layer>) -> (Option<Area>, u64) {
        let areas = if self.is_drawn { self.changed(&layers) } else { vec![self.area] };
        self.layers = layers;
        self.is_drawn = true;
        for area in &areas {
            self.draw(*area);
        }
        let drawn = areas.iter().map(|area| u64::from(area.width) * u64::from(area.height)).sum();
        (areas.into_iter().reduce(Area::union), drawn)
    }

    /// Where something goes or comes, in boxes that are apart.
    fn changed(&self, layers: &[Layer]) -> Vec<Area> {
        let has = |all: &[Layer], own: &Layer| all.iter().any(|other| Arc::ptr_eq(own, other));
        let gone = self.layers.iter().filter(|own| !has(layers, own));
        let come = layers.iter().filter(|own| !has(&self.layers, own));
        let mut areas: Vec<Area> = Vec::new();
        for mut area in gone.chain(come).filter_map(|layer| layer.area.within(self.area)) {
            // What is joined may meet what it did not meet before.
            while let Some(met) = areas.iter().position(|own| own.within(area).is_some()) {
                area = area.union(areas.swap_remove(met));
            }
            areas.push(area);
        }
        areas
    }

    /// Draws a box of it anew, row by row.
    fn draw(&mut self, area: Area) {
        let layers = self.layers.iter().filter_map(|own| Some((own, own.area.within(area)?)));
        let layers: Vec<(&Layer, Area)> = layers.collect();
        for (y, whole) in (area.y..).zip(rows(area, self.area.width as usize)) {
            self.row.clear();
            self.row.resize(area.width as usize, self.ground);
            for (layer, part) in &layers {
                if (part.y..part.y + part.height).contains(&y) {
                    let from = (part.x - area.x) as usize;
                    let row = self.row.get_mut(from..from + part.width as usize);
                    lay(layer.row(*part, y), row.unwrap_or_default());
                }
            }
            let straight = self.straight.get_mut(whole.start * 4..whole.end * 4);
            let straight = straight.unwrap_or_default().chunks_exact_mut(4);
            for (own, bytes) in self.row.iter().zip(straight) {
                bytes.copy_from_slice(&apart(*own));
            }
        }
    }
}

/// Lays a row of four bytes a pixel over another.
fn lay(own: &[u8], under: &mut [u32]) {
    for (own, under) in own.chunks_exact(4).zip(under) {
        let own = pixel(own);
        if own != 0 {
            *under = over(own, *under);
        }
    }
}
