//! What every step of the engraver needs at hand.

use super::style::Style;
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{FaceStyle, Fonts, Glyph, GlyphRun};
use crate::score::PrintedWords;
use kurbo::{Point, Rect};
use std::sync::Arc;

/// Fonts, style and scale of one engraving.
#[derive(Clone, Copy, Debug)]
pub struct Engraver<'a> {
    /// The faces.
    pub fonts: &'a Fonts,
    /// The engraver's numbers.
    pub style: &'a Style,
    /// Points in a staff space.
    pub space_pt: f64,
    /// The words it prints of its own.
    pub printed: &'static PrintedWords,
}

impl Engraver<'_> {
    /// A size of words at the staff, in staff spaces, in points: none is too small to be read.
    pub fn points(&self, spaces: f64) -> f64 {
        (spaces * self.space_pt).max(self.style.smallest_pt)
    }

    /// A size in points as staff spaces.
    pub fn pt(&self, points: f64) -> f64 {
        points / self.space_pt
    }

    /// A glyph at full size with its origin at a point.
    pub fn glyph(&self, kind: Kind, glyph: Glyph, x: f64, y: f64) -> Mark {
        self.glyph_scaled(kind, glyph, x, y, 1.0)
    }

    /// A glyph at a size of its own, with its origin at a point.
    pub fn glyph_scaled(&self, kind: Kind, glyph: Glyph, x: f64, y: f64, scale: f64) -> Mark {
        Mark::new(kind, Shape::Glyph { glyph, at: Point::new(x, y), space: scale })
    }

    /// Words shaped at a size in points, with their width in staff spaces.
    pub fn words(&self, text: &str, style: FaceStyle, points: f64) -> (Arc<GlyphRun>, f64) {
        let run = self.fonts.text.shape(text, style);
        let width = run.width * self.pt(points);
        (run, width)
    }

    /// A mark of shaped words with the left end of the baseline at a point.
    pub fn text(&self, kind: Kind, run: Arc<GlyphRun>, x: f64, y: f64, points: f64) -> Mark {
        Mark::new(kind, Shape::Text { run, at: Point::new(x, y), size: self.pt(points) })
    }

    /// The box of a shape's ink.
    pub fn bounds(&self, shape: &Shape) -> Rect {
        shape.bounds(self.fonts)
    }
}
