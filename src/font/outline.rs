//! Glyph outlines out of font files.

use kurbo::BezPath;
use ttf_parser::{Face, GlyphId, OutlineBuilder};

/// The outline of a glyph in font units, turned to y down; empty for a glyph without ink.
pub(super) fn outline(face: &Face<'_>, id: GlyphId) -> BezPath {
    let mut pen = Pen(BezPath::new());
    // The box ttf-parser returns is of the control points, which may lie outside the ink.
    let _ = face.outline_glyph(id, &mut pen);
    pen.0
}

struct Pen(BezPath);

fn down(x: f32, y: f32) -> (f64, f64) {
    (f64::from(x), -f64::from(y))
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(down(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(down(x, y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.quad_to(down(x1, y1), down(x, y));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.0.curve_to(down(x1, y1), down(x2, y2), down(x, y));
    }

    fn close(&mut self) {
        self.0.close_path();
    }
}
