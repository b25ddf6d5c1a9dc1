//! A line of music that moves behind a window: painted tile by tile once, and shown at any place between two
//! pixels.

use super::area::Area;
use super::painter::Painter;
use crate::drawing::{Ink, Node};
use crate::film::{FilmLayout, Strip};
use crate::score::Colour;
use kurbo::{BezPath, Rect, Shape as _, Vec2};
use resvg::tiny_skia::{Pixmap, PremultipliedColorU8};
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
pub(super) struct Tiles {
    outlines: Vec<(BezPath, Ink, Rect)>,
    ink: Colour,
    tiles: HashMap<usize, Option<Arc<Pixmap>>>,
}

impl Tiles {
    pub(super) fn of(nodes: &[Node], painter: &Painter<'_>, ink: Colour) -> Self {
        let outlines = super::outlines::outlines(nodes, painter.fonts()).into_iter();
        let boxed = outlines.map(|(path, own)| {
            let area = path.bounding_box().inflate(painter.reach(), painter.reach());
            (path, own, area)
        });
        Self { outlines: boxed.collect(), ink, tiles: HashMap::new() }
    }

    /// A tile by its number; nothing where it has no ink.
    fn tile(&mut self, number: usize, painter: &Painter<'_>, height: u32) -> Option<Arc<Pixmap>> {
        let Self { outlines, ink, tiles } = self;
        let made = tiles.entry(number).or_insert_with(|| {
            let left = (number * TILE) as f64 - BEFORE;
            let right = left + TILE as f64 + 1.0;
            let inside = |area: &Rect| area.x1 > left && area.x0 < right;
            let own = outlines.iter().filter(|(.., area)| inside(area));
            let own: Vec<(BezPath, Ink)> = own.map(|(path, ink, _)| (path.clone(), *ink)).collect();
            if own.is_empty() {
                return None;
            }
            let mut pixels = Pixmap::new(u32::try_from(TILE + 1).ok()?, height)?;
            painter.put_outlines(&mut pixels, Vec2::new(left, 0.0), &own, *ink);
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

impl Window {
    pub(super) fn of(layout: &FilmLayout, frame: Area) -> Self {
        let room = Rect { y0: 0.0, y1: layout.frame.height(), ..layout.strip };
        let area = Area::around(room).within(frame).unwrap_or(frame);
        Self { area, room: (layout.strip.x0, layout.strip.x1) }
    }

    /// How much of each of its columns is seen, where a line is moved to the left. Notes are seen wholly or
    /// not at all at its edges: each fades as one.
    pub(super) fn mask(&self, strip: &Strip, page: usize, shift: f64) -> Vec<f32> {
        let mut mask: Vec<f32> = (0..self.area.width)
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
        mask
    }

    /// How much is seen of what reaches from one place to another.
    fn share(&self, (left, right): (f64, f64)) -> f32 {
        let fade = (self.room.1 - self.room.0) * FADE;
        let inside = (left - self.room.0).min(self.room.1 - right) / fade;
        let even = inside.clamp(0.0, 1.0);
        (even * even * (3.0 - 2.0 * even)) as f32
    }

    /// Lays a line over pixels, moved to the left.
    pub(super) fn lay(
        &self,
        tiles: &mut Tiles,
        painter: &Painter<'_>,
        (shift, mask): (f64, &[f32]),
        onto: &mut Pixmap,
    ) {
        let from = (f64::from(self.area.x) + shift + BEFORE).max(0.0);
        let (column, part) = (from.floor() as usize, (from - from.floor()) as f32);
        let (columns, width) = (self.area.width as usize, onto.width() as usize);
        tiles.forget(column / TILE, (column + columns) / TILE);
        let mut done = 0;
        while done < columns {
            let (number, inside) = ((column + done) / TILE, (column + done) % TILE);
            let count = (TILE - inside).min(columns - done);
            if let Some(tile) = tiles.tile(number, painter, onto.height()) {
                let mask = mask.get(done..done + count).unwrap_or_default();
                for row in 0..onto.height() as usize {
                    let start = row * (TILE + 1) + inside;
                    let to = row * width + self.area.x as usize + done;
                    let own = tile.pixels().get(start..=start + count);
                    let onto = onto.pixels_mut().get_mut(to..to + count);
                    if let (Some(own), Some(onto)) = (own, onto) {
                        lay_row(own, part, mask, onto);
                    }
                }
            }
            done += count;
        }
    }
}

/// Lays a row over another: each pixel lies between two of it, and as much of it is seen as its mask says.
fn lay_row(
    own: &[PremultipliedColorU8],
    part: f32,
    mask: &[f32],
    onto: &mut [PremultipliedColorU8],
) {
    for ((pair, seen), under) in own.windows(2).zip(mask).zip(onto) {
        let [a, b] = pair else { continue };
        if a.alpha() == 0 && b.alpha() == 0 || *seen <= 0.0 {
            continue;
        }
        let between = |a: u8, b: u8| (f32::from(a) + (f32::from(b) - f32::from(a)) * part) * seen;
        let alpha = between(a.alpha(), b.alpha());
        let rest = 1.0 - alpha / 255.0;
        let over = |a: u8, b: u8, under: u8| (between(a, b) + f32::from(under) * rest + 0.5) as u8;
        let alpha = (alpha + f32::from(under.alpha()) * rest + 0.5) as u8;
        let mixed = PremultipliedColorU8::from_rgba(
            over(a.red(), b.red(), under.red()).min(alpha),
            over(a.green(), b.green(), under.green()).min(alpha),
            over(a.blue(), b.blue(), under.blue()).min(alpha),
            alpha,
        );
        *under = mixed.unwrap_or(*under);
    }
}
