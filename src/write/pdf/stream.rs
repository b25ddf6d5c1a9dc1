//! The content of a page as it is written: text objects, ink, and marked content, as bytes
//! (ISO 32000-1, 7.8.2).
//!
//! What is open is closed where the next operator needs it so: boxes wait for one `f`, words of a
//! baseline for one `TJ`, and text objects end where ink begins.

use super::face_key::FaceKey;
use super::glyphs::Shown;
use super::object::put_code;
use super::operand::{
    Hundredths, PLACES_PER_POINT, THOUSANDTHS, place, put_integer, put_place, put_thousandths,
    thousandths,
};
use super::page_content::PageContent;
use super::page_ink::{PageInk, put_colour};
use super::text_object::{OpenArray, TextObject};
use crate::drawing::{ColouredOutline, Ink};
use crate::font::profile::upright;
use crate::score::Colour;
use kurbo::{Affine, BezPath, CubicBez, PathEl, PathSeg, Point, QuadBez, Rect, Vec2};

/// The content of a page.
pub(super) struct PageStream {
    bytes: Vec<u8>,
    height: f64,
    /// Points in the unit of all places and sizes.
    scale: f64,
    ink: Ink,
    colours: PageInk,
    /// The face in use and its size in thousandths of a point; text objects leave it as it is.
    font: Option<(FaceKey, i64)>,
    /// The open text object.
    text: Option<TextObject>,
    /// Whether boxes wait to be filled.
    unfilled: bool,
}

impl PageStream {
    /// That of a page of a height in points, with ink of some colours.
    pub(super) fn new(height: f64, colours: PageInk) -> Self {
        let mut stream = Self {
            bytes: Vec::new(),
            height,
            scale: 1.0,
            ink: Ink::Black,
            colours,
            font: None,
            text: None,
            unfilled: false,
        };
        if colours != PageInk::Gray {
            // A page begins in black of the gray space.
            stream.colour(Ink::Black);
        }
        stream
    }

    /// That of an inset, whose origin is its upper left corner and whose unit is so many points; it starts
    /// in the ink of its page.
    pub(super) fn of_inset(colours: PageInk, scale: f64) -> Self {
        Self { colours, scale, ..Self::new(0.0, PageInk::Gray) }
    }

    /// How many points its unit has.
    pub(super) fn scale(&self) -> f64 {
        self.scale
    }

    /// The content of an inset with its origin at a place of the page. It leaves nothing behind.
    pub(super) fn inset(&mut self, at: Vec2, content: &PageContent) {
        self.set_ink(Ink::Black);
        self.end_text();
        self.fill();
        self.put("q 1 0 0 1 ");
        self.put_point(at.to_point());
        self.put("cm\n");
        self.bytes.extend_from_slice(&content.0);
        self.put("Q\n");
    }

    /// All of it.
    pub(super) fn finish(mut self) -> PageContent {
        self.end_text();
        self.fill();
        PageContent(self.bytes)
    }

    /// Opens marked content with a tag, and a number where a structure names it. It lies around text
    /// objects, not in them.
    pub(super) fn begin_content(&mut self, tag: &str, number: Option<usize>) {
        self.end_text();
        self.fill();
        self.bytes.push(b'/');
        self.bytes.extend_from_slice(tag.as_bytes());
        match number.and_then(|number| i64::try_from(number).ok()) {
            None => self.put(" BMC\n"),
            Some(number) => {
                self.put(" <</MCID ");
                put_integer(&mut self.bytes, number);
                self.put(">>BDC\n");
            }
        }
    }

    /// Closes marked content around text objects.
    pub(super) fn end_content(&mut self) {
        self.end_text();
        self.end_reading();
    }

    /// Opens a span, in or around a text object, that reads as `words`, whatever its glyphs read as
    /// (ISO 32000-1, 14.9.4).
    pub(super) fn begin_reading(&mut self, words: &str) {
        self.end_line();
        self.fill();
        self.put("/Span<</ActualText<FEFF");
        for unit in words.encode_utf16() {
            put_code(&mut self.bytes, unit);
        }
        self.put(">>>BDC\n");
    }

    /// Closes such a span.
    pub(super) fn end_reading(&mut self) {
        self.end_line();
        self.fill();
        self.put("EMC\n");
    }

    /// Fills with an ink from here on.
    pub(super) fn set_ink(&mut self, ink: Ink) {
        if self.ink != ink {
            self.ink = ink;
            self.colour(ink);
        }
    }

    fn colour(&mut self, ink: Ink) {
        self.end_line();
        self.fill();
        self.colours.put(ink, &mut self.bytes);
    }

    /// A box in a colour of its own, under all that follows.
    pub(super) fn background(&mut self, colour: Colour, rect: Rect) {
        self.put("q\n");
        put_colour(&mut self.bytes, colour);
        self.rectangle(rect);
        self.fill();
        self.put("Q\n");
    }

    /// A filled box.
    pub(super) fn rectangle(&mut self, rect: Rect) {
        let length = |length: f64| thousandths(length * self.scale);
        let (width, height) = (length(rect.width()), length(rect.height()));
        self.end_text();
        self.put_point(Point::new(rect.x0, rect.y1));
        put_thousandths(&mut self.bytes, width);
        put_thousandths(&mut self.bytes, height);
        self.put("re\n");
        self.unfilled = true;
    }

    /// A filled outline, nonzero winding.
    pub(super) fn polygon(&mut self, path: &BezPath) {
        if let Some(rect) = upright(path) {
            return self.rectangle(rect);
        }
        self.end_text();
        self.fill();
        self.filled(path, "f\n");
    }

    /// An outline, and the operator that fills it.
    fn filled(&mut self, path: &BezPath, operator: &str) {
        let (mut start, mut pen) = (None, Point::ZERO);
        for element in path.elements() {
            // What follows a closed outline begins where that began.
            let to = match *element {
                PathEl::MoveTo(to) => {
                    start = Some(to);
                    self.step(&[to], "m\n");
                    to
                }
                _ if start.is_none() => continue,
                PathEl::LineTo(to) => {
                    self.step(&[to], "l\n");
                    to
                }
                PathEl::QuadTo(p1, p2) => {
                    self.curve(PathSeg::Quad(QuadBez::new(pen, p1, p2)).to_cubic());
                    p2
                }
                PathEl::CurveTo(p1, p2, p3) => {
                    self.curve(CubicBez::new(pen, p1, p2, p3));
                    p3
                }
                PathEl::ClosePath => {
                    self.put("h\n");
                    start.unwrap_or(pen)
                }
            };
            pen = to;
        }
        if start.is_some() {
            self.put(operator);
        }
    }

    /// A picture under its name that fills a part of the page.
    pub(super) fn picture(&mut self, name: &str, area: Rect) {
        self.end_text();
        self.fill();
        self.put("q ");
        for length in [area.width(), 0.0, 0.0, area.height()] {
            put_place(&mut self.bytes, place(length * self.scale));
        }
        self.put_point(Point::new(area.x0, area.y1));
        self.put("cm /");
        self.put(name);
        self.put(" Do Q\n");
    }

    /// The outlines of a picture of a natural size, in their colours, over a part of the page.
    pub(super) fn outlines(
        &mut self,
        outlines: &[ColouredOutline],
        (width, height): (f64, f64),
        area: Rect,
    ) {
        self.end_text();
        self.fill();
        self.put("q\n");
        let map = Affine::translate(area.origin().to_vec2())
            * Affine::scale_non_uniform(area.width() / width, area.height() / height);
        for outline in outlines {
            for part in outline.colour {
                put_thousandths(&mut self.bytes, (i64::from(part) * 1000 + 127) / 255);
            }
            self.put("rg\n");
            let fill = if outline.even_odd { "f*\n" } else { "f\n" };
            self.filled(&(map * &outline.path), fill);
        }
        self.put("Q\n");
    }

    fn curve(&mut self, curve: CubicBez) {
        self.step(&[curve.p1, curve.p2, curve.p3], "c\n");
    }

    fn step(&mut self, points: &[Point], operator: &str) {
        for point in points {
            self.put_point(*point);
        }
        self.put(operator);
    }

    /// Opens a text object where none is open.
    pub(super) fn begin_text(&mut self) {
        if self.text.is_none() {
            self.fill();
            self.put("BT\n");
            self.text = Some(TextObject::default());
        }
    }

    /// Closes the text object that is open.
    pub(super) fn end_text(&mut self) {
        self.end_line();
        if self.text.take().is_some() {
            self.put("ET\n");
        }
    }

    /// Shows glyphs of a face of a size in points, the first with its origin at a place of the page.
    pub(super) fn show(&mut self, face: FaceKey, size: f64, at: Point, glyphs: Shown<'_>) {
        let font = (face, thousandths(size * self.scale));
        self.begin_text();
        if self.font != Some(font) {
            self.end_line();
            self.put("/");
            self.put(&face.resource());
            self.put(" ");
            put_thousandths(&mut self.bytes, font.1);
            self.put("Tf\n");
            self.font = Some(font);
        }
        let at = self.place(at);
        if !self.goes_on(at, font.1) {
            self.begin_line(at);
        }
        self.bytes.extend_from_slice(glyphs.array);
        if let Some(array) = self.array() {
            array.several |= glyphs.several;
            array.pen = array.pen.saturating_add(glyphs.advance);
        }
    }

    fn array(&mut self) -> Option<&mut OpenArray> {
        self.text.as_mut()?.array.as_mut()
    }

    /// Kerns the open array on to a place of its baseline, in a size in thousandths of a point; says
    /// no where there is none.
    fn goes_on(&mut self, at: (Hundredths, Hundredths), size: i64) -> bool {
        let Some(text) = &mut self.text else { return false };
        let Some(array) = text.array.as_mut().filter(|_| size > 0 && text.line.1 == at.1) else {
            return false;
        };
        let points = at.0.saturating_sub(text.line.0) as f64 / PLACES_PER_POINT;
        let kern = array.pen.saturating_sub(thousandths(points * THOUSANDTHS / size as f64));
        if kern != 0 {
            put_integer(&mut self.bytes, kern);
            array.pen = array.pen.saturating_sub(kern);
        }
        array.several = true;
        true
    }

    /// Begins a line and its array at a place.
    fn begin_line(&mut self, at: (Hundredths, Hundredths)) {
        self.end_line();
        let Some(text) = &mut self.text else { return };
        put_place(&mut self.bytes, at.0.saturating_sub(text.line.0));
        put_place(&mut self.bytes, at.1.saturating_sub(text.line.1));
        self.bytes.extend_from_slice(b"Td");
        let start = self.bytes.len();
        self.bytes.push(b'[');
        text.line = at;
        text.array = Some(OpenArray { start, several: false, pen: 0 });
    }

    /// Closes the open array.
    fn end_line(&mut self) {
        let Some(array) = self.text.as_mut().and_then(|text| text.array.take()) else { return };
        if array.several {
            self.put("]TJ\n");
        } else {
            // One string needs no array.
            if let Some(bracket) = self.bytes.get_mut(array.start) {
                *bracket = b' ';
            }
            self.put("Tj\n");
        }
    }

    /// Fills the boxes that wait.
    fn fill(&mut self) {
        if std::mem::take(&mut self.unfilled) {
            self.put("f\n");
        }
    }

    fn put(&mut self, operator: &str) {
        self.bytes.extend_from_slice(operator.as_bytes());
    }

    fn put_point(&mut self, point: Point) {
        let (x, y) = self.place(point);
        put_place(&mut self.bytes, x);
        put_place(&mut self.bytes, y);
    }

    /// A point of the page, whose origin is its lower left corner in PDF.
    fn place(&self, point: Point) -> (Hundredths, Hundredths) {
        (place(point.x * self.scale), place(self.height - point.y * self.scale))
    }
}

#[cfg(test)]
mod tests;
