//! A line of music that moves behind a window: painted tile by tile once, and shown at any place between two
//! pixels.

use super::area::Area;
use super::blend::{WHOLE, between, over, pixel, share};
use super::painter::Painter;
use super::sprite::Sprite;
use crate::drawing::{Ink, Node};
use crate::film::{FilmLayout, Strip};
use crate::score::Colour;
use kurbo::{BezPath, Rect, Shape as _, Vec2};
use resvg::tiny_skia::Pixmap;
use std::collections::HashMap;
use std::sync::Arc;

/// The width of a tile in pixels. It has one column more, which is the first of the next.
const TILE: usize = 512;
/// Where tiles begin, left of the line, in pixels: no frame is wider.
const BEFORE: f64 = 8192.0;
/// How far from the edge of its room a note begins to fade, as a share of the width of the room (no source;
/// looked at).
const FADE: f64 = 0.05;

/// What is painted of a line: its ink, or its notes as they are lit.
pub(super) struct Tiles<'a> {
    painter: Painter<'a>,
    outlines: Vec<(BezPath, Ink, Rect)>,
    ink: Colour,
    tiles: HashMap<usize, Option<Arc<Pixmap>>>,
}

impl<'a> Tiles<'a> {
    pub(super) fn of(nodes: &[Node], painter: Painter<'a>, ink: Colour) -> Self {
        let outlines = super::outlines::outlines(nodes, painter.fonts()).into_iter();
        let boxed = outlines.map(|(path, own)| {
            let area = path.bounding_box().inflate(painter.reach(), painter.reach());
            (path, own, area)
        });
        Self { painter, outlines: boxed.collect(), ink, tiles: HashMap::new() }
    }

    /// A tile by its number; nothing where it has no ink.
    fn tile(&mut self, number: usize, window: Area) -> Option<Arc<Pixmap>> {
        let Self { painter, outlines, ink, tiles } = self;
        let made = tiles.entry(number).or_insert_with(|| {
            let left = (number * TILE) as f64 - BEFORE;
            let right = left + TILE as f64 + 1.0;
            let inside = |area: &Rect| area.x1 > left && area.x0 < right;
            let own = outlines.iter().filter(|(.., area)| inside(area));
            let own: Vec<(BezPath, Ink)> = own.map(|(path, ink, _)| (path.clone(), *ink)).collect();
            if own.is_empty() {
                return None;
            }
            let mut pixels = Pixmap::new(u32::try_from(TILE + 1).ok()?, window.height)?;
            let corner = Vec2::new(left, f64::from(window.y));
            painter.put_outlines(&mut pixels, corner, &own, *ink);
            Some(Arc::new(pixels))
        });
        made.clone()
    }

    /// Gives up the tiles that are not near a place.
    fn forget(&mut self, first: usize, last: usize) {
        self.tiles.retain(|number, _| (first.saturating_sub(1)..=last + 1).contains(number));
    }
}

/// The room a line moves in.
pub(super) struct Window {
    area: Area,
    /// Its left and its right edge.
    room: (f64, f64),
}

/// Where a line stands in its window.
pub(super) struct Moved {
    /// How far it is moved to the left.
    shift: f64,
    /// How much of each column of the window is seen, in 256ths.
    mask: Vec<u32>,
}

impl Window {
    /// That of a frame; as high as the music with all that is painted around it.
    pub(super) fn of(layout: &FilmLayout, (top, bottom): (f64, f64), frame: Area) -> Self {
        let room = Rect { y0: top, y1: bottom, ..layout.strip };
        let area = Area::around(room).within(frame).unwrap_or(frame);
        Self { area, room: (layout.strip.x0, layout.strip.x1) }
    }

    /// Clear pixels in its place.
    pub(super) fn clear(&self) -> Option<Sprite> {
        Some(Sprite { area: self.area, pixels: Pixmap::new(self.area.width, self.area.height)? })
    }

    /// Where a line stands that is moved to the left. Notes are seen wholly or not at all at the edges: each fades
    /// as one.
    pub(super) fn moved(&self, strip: &Strip, page: usize, shift: f64) -> Moved {
        let mut mask: Vec<u32> = (0..self.area.width)
            .map(|x| self.share((f64::from(self.area.x + x), f64::from(self.area.x + x) + 1.0)))
            .collect();
        for (left, right) in strip.cells(page) {
            let (left, right) = (left - shift, right - shift);
            if right <= self.room.0 || left >= self.room.1 {
                continue;
            }
            let share = self.share((left, right));
            let first = (left.floor() - f64::from(self.area.x)).max(0.0) as usize;
            let last = (right.ceil() - f64::from(self.area.x)).max(0.0) as usize;
            for own in mask.iter_mut().take(last).skip(first) {
                *own = share;
            }
        }
        Moved { shift, mask }
    }

    /// How much is seen of what reaches from one place to another.
    fn share(&self, (left, right): (f64, f64)) -> u32 {
        let fade = (self.room.1 - self.room.0) * FADE;
        let inside = (left - self.room.0).min(self.room.1 - right) / fade;
        let even = inside.clamp(0.0, 1.0);
        (even * even * (3.0 - 2.0 * even) * f64::from(WHOLE)).round() as u32
    }

    /// Lays a line over the pixels of the window.
    pub(super) fn lay(&self, tiles: &mut Tiles<'_>, moved: &Moved, onto: &mut Sprite) {
        let from = (f64::from(self.area.x) + moved.shift + BEFORE).max(0.0);
        let column = from.floor() as usize;
        let way = ((from - from.floor()) * f64::from(WHOLE)).round() as u32;
        let columns = self.area.width as usize;
        tiles.forget(column / TILE, (column + columns) / TILE);
        let mut done = 0;
        while done < columns {
            let (number, inside) = ((column + done) / TILE, (column + done) % TILE);
            let count = (TILE - inside).min(columns - done);
            if let Some(tile) = tiles.tile(number, self.area) {
                let mask = moved.mask.get(done..done + count).unwrap_or_default();
                for row in 0..self.area.height as usize {
                    let start = (row * (TILE + 1) + inside) * 4;
                    let to = (row * columns + done) * 4;
                    let own = tile.data().get(start..start + (count + 1) * 4);
                    let onto = onto.pixels.data_mut().get_mut(to..to + count * 4);
                    if let (Some(own), Some(onto)) = (own, onto) {
                        lay_row(own, way, mask, onto);
                    }
                }
            }
            done += count;
        }
    }
}

/// Lays a row over another: each pixel lies between two of it, and as much of it is seen as its mask says.
fn lay_row(own: &[u8], way: u32, mask: &[u32], onto: &mut [u8]) {
    let mut own = own.chunks_exact(4).map(pixel);
    let mut left = own.next().unwrap_or_default();
    for ((right, seen), under) in own.zip(mask).zip(onto.chunks_exact_mut(4)) {
        if left | right != 0 {
            let mixed = over(share(between(left, right, way), *seen), pixel(under));
            under.copy_from_slice(&mixed.to_le_bytes());
        }
        left = right;
    }
}
