//! The specimen sheet: an A2 page in SVG, measured in millimetres.

mod music;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use kurbo::{Affine, BezPath, Point, Shape};

use crate::defaults::ENGRAVING_DEFAULTS;
use crate::font::{FAMILY, VERSION};
use crate::source::{Glyph, UNITS_PER_SPACE};

const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 594.0;
const MARGIN: f64 = 14.0;
const COLUMNS: usize = 12;
const CELL_HEIGHT: f64 = 26.5;
/// Largest staff space of a glyph in the grid, in millimetres.
const LARGE: f64 = 4.6;

pub(crate) fn write(glyphs: &[Glyph]) -> String {
    let mut sheet = Sheet::new(glyphs);
    sheet.heading();
    let mut y = sheet.grid(glyphs, 34.0);
    y = music::rows(&mut sheet, y + 4.0);
    music::running(&mut sheet, y);
    sheet.finish()
}

/// The growing SVG text and the glyphs it may use.
pub(crate) struct Sheet<'a> {
    body: String,
    glyphs: BTreeMap<&'a str, &'a Glyph>,
}

impl<'a> Sheet<'a> {
    fn new(glyphs: &'a [Glyph]) -> Self {
        let mut body = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" \
             xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"{WIDTH}mm\" \
             height=\"{HEIGHT}mm\" viewBox=\"0 0 {WIDTH} {HEIGHT}\">\n\
             <rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#fff\"/>\n<defs>\n"
        );
        for glyph in glyphs {
            let drawn = Affine::FLIP_Y * glyph.outline.clone();
            let _ = writeln!(body, "<path id=\"{}\" d=\"{}\"/>", glyph.name, drawn.to_svg());
        }
        body.push_str("</defs>\n");
        Self { body, glyphs: glyphs.iter().map(|g| (g.name.as_str(), g)).collect() }
    }

    fn finish(mut self) -> String {
        self.body.push_str("</svg>\n");
        self.body
    }

    /// Places a glyph with its origin at (`x`, `y`) mm and a staff space of `space` mm.
    pub(crate) fn put(&mut self, name: &str, x: f64, y: f64, space: f64) {
        let scale = space / UNITS_PER_SPACE;
        let _ = writeln!(
            self.body,
            "<use xlink:href=\"#{name}\" transform=\"translate({x:.3} {y:.3}) scale({scale:.6})\"/>"
        );
    }

    /// A filled upright rectangle between two corners, in mm.
    pub(crate) fn block(&mut self, x0: f64, y0: f64, x1: f64, y1: f64) {
        let _ = writeln!(
            self.body,
            "<rect x=\"{:.3}\" y=\"{:.3}\" width=\"{:.3}\" height=\"{:.3}\"/>",
            x0.min(x1),
            y0.min(y1),
            (x1 - x0).abs(),
            (y1 - y0).abs()
        );
    }

    /// A beam: a parallelogram with upright ends, its edge towards the stems' tips given.
    pub(crate) fn beam(&mut self, from: (f64, f64), to: (f64, f64), thickness: f64) {
        let _ = writeln!(
            self.body,
            "<path d=\"M{:.3} {:.3}L{:.3} {:.3}V{:.3}L{:.3} {:.3}Z\"/>",
            from.0,
            from.1,
            to.0,
            to.1,
            to.1 + thickness,
            from.0,
            from.1 + thickness
        );
    }

    pub(crate) fn text(&mut self, x: f64, y: f64, size: f64, anchor: &str, words: &str) {
        let _ = writeln!(
            self.body,
            "<text x=\"{x:.2}\" y=\"{y:.2}\" font-family=\"Libertinus Serif, serif\" \
             font-size=\"{size}\" text-anchor=\"{anchor}\">{words}</text>"
        );
    }

    /// Five staff lines whose middle line runs at `y`.
    pub(crate) fn staff(&mut self, x0: f64, x1: f64, y: f64, space: f64) {
        let half = ENGRAVING_DEFAULTS.staff_line_thickness * space / 2.0;
        for line in -2..=2 {
            let at = y + f64::from(line) * space;
            self.block(x0, at - half, x1, at + half);
        }
    }

    /// Advance width of a glyph in staff spaces; nothing for a glyph that is not there.
    pub(crate) fn advance(&self, name: &str) -> f64 {
        self.glyphs.get(name).map_or(0.0, |glyph| glyph.advance / UNITS_PER_SPACE)
    }

    /// An anchor in staff spaces, y up.
    pub(crate) fn anchor(&self, glyph: &str, name: &str) -> Option<Point> {
        let place = self.glyphs.get(glyph)?.anchors.get(name)?;
        Some((place.to_vec2() / UNITS_PER_SPACE).to_point())
    }

    /// The ink box of a glyph in staff spaces, y up.
    pub(crate) fn ink(&self, name: &str) -> kurbo::Rect {
        let outline: Option<&BezPath> = self.glyphs.get(name).map(|glyph| &glyph.outline);
        let b = outline.map_or(kurbo::Rect::ZERO, Shape::bounding_box);
        kurbo::Rect::new(
            b.x0 / UNITS_PER_SPACE,
            b.y0 / UNITS_PER_SPACE,
            b.x1 / UNITS_PER_SPACE,
            b.y1 / UNITS_PER_SPACE,
        )
    }

    fn heading(&mut self) {
        self.text(MARGIN, 22.0, 13.0, "start", FAMILY);
        self.text(
            WIDTH - MARGIN,
            22.0,
            5.0,
            "end",
            &format!("Version {VERSION:.1} \u{b7} percussion music, encoded after SMuFL 1.4 \u{b7} SIL Open Font License 1.1"),
        );
        self.block(MARGIN, 26.0, WIDTH - MARGIN, 26.4);
    }

    /// Every glyph large, with its name and code point. Returns the foot of the grid.
    fn grid(&mut self, glyphs: &[Glyph], top: f64) -> f64 {
        let cell_width = (WIDTH - 2.0 * MARGIN) / COLUMNS as f64;
        for (i, glyph) in glyphs.iter().enumerate() {
            let x = MARGIN + (i % COLUMNS) as f64 * cell_width + cell_width / 2.0;
            let y = top + (i / COLUMNS) as f64 * CELL_HEIGHT;
            let ink = self.ink(&glyph.name);
            let size = LARGE.min(28.0 / ink.width()).min(18.5 / ink.height());
            let origin = y + 9.5 + ink.center().y * size;
            self.put(&glyph.name, x - ink.center().x * size, origin, size);
            self.text(x, y + 21.8, 1.9, "middle", &glyph.name);
            let code = format!("U+{:04X}", u32::from(glyph.code_point));
            self.text(x, y + 23.9, 1.6, "middle", &code);
        }
        top + glyphs.len().div_ceil(COLUMNS) as f64 * CELL_HEIGHT
    }
}
