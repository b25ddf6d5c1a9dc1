//! The operators of a page as they grow: text objects, ink, and forms.

use super::faces::{Face, FaceKey};
use super::options::InkSpace;
use super::place::points;
use crate::drawing::Ink;
use kurbo::{BezPath, PathEl, PathSeg};
use printpdf::{
    Cmyk, Codepoint, Color, DictItem, Greyscale, LinePoint, Op, PaintMode, PdfFontHandle, Point,
    Polygon, PolygonRing, Rect, TextItem, TextMatrix, WindingOrder,
};
use std::collections::BTreeMap;

/// The grey that half-dark ink has on white paper, from black 0 to white 1.
const GREY: f32 = 0.45;

/// The operators of a page.
pub(super) struct PageStream {
    ops: Vec<Op>,
    height: f64,
    ink: Ink,
    space: InkSpace,
    /// The font and size of the open text object.
    text: Option<Option<(FaceKey, f32)>>,
}

impl PageStream {
    /// Those of a page of a height in points, with ink named in a space.
    pub(super) fn new(height: f64, space: InkSpace) -> Self {
        let mut stream = Self { ops: Vec::new(), height, ink: Ink::Black, space, text: None };
        if space == InkSpace::Cmyk {
            // A page begins in black of the gray space.
            stream.colour(Ink::Black);
        }
        stream
    }

    /// All operators.
    pub(super) fn finish(mut self) -> Vec<Op> {
        self.end_text();
        self.ops
    }

    /// Opens marked content with a tag, and a number where a structure names it. It lies around text
    /// objects, not in them.
    pub(super) fn begin_content(&mut self, tag: &str, number: Option<usize>) {
        self.end_text();
        let tag = tag.into();
        self.ops.push(match number {
            None => Op::BeginMarkedContent { tag },
            Some(number) => {
                let map = BTreeMap::from([("MCID".into(), DictItem::Int(number as i64))]);
                let properties = DictItem::Dict { map };
                Op::BeginMarkedContentWithProperties { tag, properties }
            }
        });
    }

    /// Closes marked content around text objects.
    pub(super) fn end_content(&mut self) {
        self.end_text();
        self.ops.push(Op::EndMarkedContent);
    }

    /// Opens a span, in or around a text object, that reads as `words`, whatever its glyphs read as.
    pub(super) fn begin_reading(&mut self, words: &str) {
        let mut data = vec![0xFE, 0xFF];
        data.extend(words.encode_utf16().flat_map(u16::to_be_bytes));
        let words = DictItem::String { data, literal: false };
        let properties = DictItem::Dict { map: BTreeMap::from([("ActualText".into(), words)]) };
        self.ops.push(Op::BeginMarkedContentWithProperties { tag: "Span".into(), properties });
    }

    /// Fills with an ink from here on.
    pub(super) fn set_ink(&mut self, ink: Ink) {
        if self.ink != ink {
            self.ink = ink;
            self.colour(ink);
        }
    }

    fn colour(&mut self, ink: Ink) {
        let white = if ink == Ink::Black { 0.0 } else { GREY };
        let col = match self.space {
            InkSpace::Gray => Color::Greyscale(Greyscale { percent: white, icc_profile: None }),
            InkSpace::Cmyk => {
                Color::Cmyk(Cmyk { c: 0.0, m: 0.0, y: 0.0, k: 1.0 - white, icc_profile: None })
            }
        };
        self.ops.push(Op::SetFillColor { col });
    }

    /// Closes such a span.
    pub(super) fn end_reading(&mut self) {
        self.ops.push(Op::EndMarkedContent);
    }

    /// A filled box.
    pub(super) fn rectangle(&mut self, rect: kurbo::Rect) {
        self.end_text();
        let corner = self.point(rect.x0, rect.y1);
        self.ops.push(Op::DrawRectangle {
            rectangle: Rect {
                x: corner.x,
                y: corner.y,
                width: points(rect.width()),
                height: points(rect.height()),
                mode: Some(PaintMode::Fill),
                winding_order: Some(WindingOrder::NonZero),
            },
        });
    }

    /// A filled outline, nonzero winding.
    pub(super) fn polygon(&mut self, path: &BezPath) {
        self.end_text();
        let rings = self.rings(path);
        if !rings.is_empty() {
            self.ops.push(Op::DrawPolygon {
                polygon: Polygon {
                    rings,
                    mode: PaintMode::Fill,
                    winding_order: WindingOrder::NonZero,
                },
            });
        }
    }

    /// Opens a text object where none is open, in a face of a size in points.
    pub(super) fn set_font(&mut self, key: FaceKey, face: &Face, size: f64) {
        let size = points(size);
        self.begin_text();
        if self.text != Some(Some((key, size.0))) {
            let font = PdfFontHandle::External(face.font.clone());
            self.ops.push(Op::SetFont { font, size });
            self.text = Some(Some((key, size.0)));
        }
    }

    /// Opens a text object where none is open.
    pub(super) fn begin_text(&mut self) {
        if self.text.is_none() {
            self.ops.push(Op::StartTextSection);
            self.text = Some(None);
        }
    }

    /// Closes the text object that is open.
    pub(super) fn end_text(&mut self) {
        if self.text.take().is_some() {
            self.ops.push(Op::EndTextSection);
        }
    }

    /// Shows glyphs of the face in use.
    pub(super) fn show(&mut self, glyphs: Vec<Codepoint>) {
        self.ops.push(Op::ShowText { items: vec![TextItem::GlyphIds(glyphs)] });
    }

    /// Puts the pen on a place of the page.
    pub(super) fn move_to(&mut self, x: f64, y: f64) {
        let at = self.point(x, y);
        self.ops.push(Op::SetTextMatrix { matrix: TextMatrix::Translate(at.x, at.y) });
    }

    /// A point of the page, whose origin is its lower left corner in PDF.
    fn point(&self, x: f64, y: f64) -> Point {
        Point { x: points(x), y: points(self.height - y) }
    }

    fn rings(&self, path: &BezPath) -> Vec<PolygonRing> {
        let mut rings: Vec<PolygonRing> = Vec::new();
        let mut pen = kurbo::Point::ZERO;
        for element in path.elements() {
            let on = |p: kurbo::Point| LinePoint { p: self.point(p.x, p.y), bezier: false };
            let off = |p: kurbo::Point| LinePoint { p: self.point(p.x, p.y), bezier: true };
            let curve = match *element {
                PathEl::MoveTo(p) => {
                    rings.push(PolygonRing { points: vec![on(p)] });
                    pen = p;
                    continue;
                }
                PathEl::ClosePath => continue,
                PathEl::LineTo(p) => {
                    if let Some(ring) = rings.last_mut() {
                        ring.points.push(on(p));
                    }
                    pen = p;
                    continue;
                }
                PathEl::QuadTo(p1, p2) => {
                    PathSeg::Quad(kurbo::QuadBez::new(pen, p1, p2)).to_cubic()
                }
                PathEl::CurveTo(p1, p2, p3) => kurbo::CubicBez::new(pen, p1, p2, p3),
            };
            if let Some(ring) = rings.last_mut() {
                ring.points.extend([off(curve.p1), off(curve.p2), on(curve.p3)]);
            }
            pen = curve.p3;
        }
        rings
    }
}
