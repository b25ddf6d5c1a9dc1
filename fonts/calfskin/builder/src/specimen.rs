//! The specimen sheet: an A2 page in SVG, measured in millimetres.

mod music;
mod words;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use kurbo::{Affine, BezPath, Point, Shape};

use crate::defaults::ENGRAVING_DEFAULTS;
use crate::error::Error;
use crate::font::{FAMILY, VERSION};
use crate::source::{Glyph, UNITS_PER_SPACE};
use words::Words;

const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 594.0;
const MARGIN: f64 = 14.0;
const COLUMNS: usize = 12;
const CELL_HEIGHT: f64 = 26.5;
/// Largest staff space of a glyph in the grid, in millimetres.
const LARGE: f64 = 4.6;

/// The sheet as SVG.
///
/// # Errors
/// The face of its words is not to be had.
pub(crate) fn write(glyphs: &[Glyph]) -> Result<String, Error> {
    let mut sheet = Sheet::new(glyphs)?;
    sheet.heading();
    let mut y = sheet.grid(glyphs, 34.0);
    y = music::rows(&mut sheet, y + 4.0);
    music::running(&mut sheet, y);
    Ok(sheet.finish())
}

/// What the sheet holds so far, the glyphs it may use, and the face of its words.
pub(crate) struct Sheet<'a> {
    body: String,
    words: Words,
    glyphs: BTreeMap<&'a str, &'a Glyph>,
}

impl<'a> Sheet<'a> {
    fn new(glyphs: &'a [Glyph]) -> Result<Self, Error> {
        let glyphs = glyphs.iter().map(|g| (g.name.as_str(), g)).collect();
        Ok(Self { body: String::new(), words: Words::new()?, glyphs })
    }

    fn finish(self) -> String {
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" \
             xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"{WIDTH}mm\" \
             height=\"{HEIGHT}mm\" viewBox=\"0 0 {WIDTH} {HEIGHT}\">\n\
             <rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#fff\"/>\n<defs>\n"
        );
        for glyph in self.glyphs.values() {
            let drawn = Affine::FLIP_Y * glyph.outline.clone();
            let _ = writeln!(out, "<path id=\"{}\" d=\"{}\"/>", glyph.name, drawn.to_svg());
        }
        out.push_str(&self.words.definitions());
        out.push_str("</defs>\n");
        out.push_str(&self.body);
        out.push_str("</svg>\n");
        out
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

    /// Words at a size in mm; `align` says which part of them stands at `x`: 0 the left end, 0.5 the
    /// middle, 1 the right end.
    pub(crate) fn text(&mut self, (x, y): (f64, f64), size: f64, align: f64, words: &str) {
        let line = self.words.set(words);
        let scale = size / self.words.units();
        let left = x - align * f64::from(line.width) * scale;
        let _ =
            write!(self.body, "<g transform=\"translate({left:.3} {y:.3}) scale({scale:.6})\">");
        for (id, at) in line.letters {
            let _ = write!(self.body, "<use xlink:href=\"#letter{id}\" x=\"{at}\"/>");
        }
        self.body.push_str("</g>\n");
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
        self.text((MARGIN, 22.0), 13.0, 0.0, FAMILY);
        self.text(
            (WIDTH - MARGIN, 22.0),
            5.0,
            1.0,
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
            self.text((x, y + 21.8), 2.1, 0.5, &glyph.name);
            let code = format!("U+{:04X}", u32::from(glyph.code_point));
            self.text((x, y + 24.1), 1.8, 0.5, &code);
        }
        top + glyphs.len().div_ceil(COLUMNS) as f64 * CELL_HEIGHT
    }
}
