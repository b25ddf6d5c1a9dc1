//! Glyph outlines out of font files.

use kurbo::{BezPath, PathEl};
use ttf_parser::{Face, GlyphId, OutlineBuilder};

/// The outline of a glyph in font units, turned to y down; empty for a glyph without ink.
pub(super) fn outline(face: &Face<'_>, id: GlyphId) -> BezPath {
    let mut pen = Pen(BezPath::new());
    // The box ttf-parser returns is of the control points, which may lie outside the ink.
    let _ = face.outline_glyph(id, &mut pen);
    pen.0
}

/// What comes before the first point of a path is left out: a damaged file may begin in the middle.
struct Pen(BezPath);

impl Pen {
    fn add(&mut self, element: PathEl) {
        if !self.0.elements().is_empty() {
            self.0.push(element);
        }
    }
}

fn down(x: f32, y: f32) -> (f64, f64) {
    (f64::from(x), -f64::from(y))
}

impl OutlineBuilder for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(down(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.add(PathEl::LineTo(down(x, y).into()));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.add(PathEl::QuadTo(down(x1, y1).into(), down(x, y).into()));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let [one, two, end] = [down(x1, y1), down(x2, y2), down(x, y)].map(Into::into);
        self.add(PathEl::CurveTo(one, two, end));
    }

    fn close(&mut self) {
        self.add(PathEl::ClosePath);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_begins_with_its_first_point() {
        let mut pen = Pen(BezPath::new());
        pen.close();
        pen.line_to(1.0, 1.0);
        pen.quad_to(1.0, 1.0, 2.0, 2.0);
        pen.curve_to(1.0, 1.0, 2.0, 2.0, 3.0, 3.0);
        assert!(pen.0.elements().is_empty());
        pen.move_to(1.0, 2.0);
        pen.close();
        assert_eq!(pen.0.elements(), [PathEl::MoveTo((1.0, -2.0).into()), PathEl::ClosePath]);
    }
}
