//! The operators of a page.
//!
//! A line of music is written as its ink first and then its words, row by row from the top and
//! each row from left to right, so that copied text reads like the page: all counts, then all
//! stickings. Everything else is written in drawing order.

use super::faces::{Coded, Face, FaceKey, Faces};
use super::tags::{Part, Tags};
use super::{CROP_GAP, CROP_MARK, InkSpace, PdfOptions};
use crate::drawing::{GroupKind, Ink, Kind, Mark, Node, Page, Shape};
use crate::font::{Fonts, Run, SPACES_PER_EM};
use crate::write::number::round;
use kurbo::{BezPath, PathEl, PathSeg};
use printpdf::{
    Cmyk, Codepoint, Color, DictItem, Greyscale, LinePoint, Op, PaintMode, PdfFontHandle, Point,
    Polygon, PolygonRing, Pt, Rect, TextItem, TextMatrix, WindingOrder,
};
use std::collections::BTreeMap;

/// The grey that half-dark ink has on white paper, from black 0 to white 1.
const GREY: f32 = 0.45;

/// Thickness of a crop mark, in points: a hairline, common practice, no source.
const CROP_WEIGHT: f64 = 0.25;

/// Rows whose baselines lie closer than this, in points, are one row.
const SAME_ROW: f64 = 0.5;

pub(super) fn operators(
    page: &Page,
    fonts: &Fonts,
    faces: &Faces,
    options: &PdfOptions,
    mut tags: Option<&mut Tags>,
) -> Vec<Op> {
    let mut stream = Stream {
        height: page.height,
        fonts,
        faces,
        ops: Vec::new(),
        ink: Ink::Black,
        space: options.ink,
        text: None,
    };
    if options.ink == InkSpace::Cmyk {
        // A page begins in black of the gray space.
        stream.colour(Ink::Black);
    }
    if options.crop_marks {
        stream.begin_part(tags.as_deref_mut(), Part::Artifact);
        stream.crop_marks(page, options.bleed.max(CROP_GAP));
        stream.end_part(tags.is_some());
    }
    let mut parts: Vec<(Part, Vec<&Node>)> = Vec::new();
    for node in &page.nodes {
        let part = tags.as_deref_mut().map_or(Part::Artifact, |tags| tags.part(node));
        match parts.last_mut() {
            Some((last, nodes)) if *last == part => nodes.push(node),
            _ => parts.push((part, vec![node])),
        }
    }
    for (part, nodes) in parts {
        stream.begin_part(tags.as_deref_mut(), part);
        let mut loose = Vec::new();
        for node in nodes {
            stream.walk(std::slice::from_ref(node), &mut loose);
        }
        stream.flush(&mut loose, false);
        stream.end_part(tags.is_some());
    }
    stream.end_text();
    stream.ops
}

struct Stream<'a> {
    height: f64,
    fonts: &'a Fonts,
    faces: &'a Faces,
    ops: Vec<Op>,
    ink: Ink,
    space: InkSpace,
    /// The font and size of the open text object.
    text: Option<Option<(FaceKey, f32)>>,
}

impl<'a> Stream<'a> {
    /// Opens the marked content of a part. It lies around text objects, not in them.
    fn begin_part(&mut self, tags: Option<&mut Tags>, part: Part) {
        let Some(tags) = tags else { return };
        self.end_text();
        match part {
            Part::Artifact => self.ops.push(Op::BeginMarkedContent { tag: "Artifact".into() }),
            Part::Said(element) => {
                let number = DictItem::Int(tags.content(element) as i64);
                let map = BTreeMap::from([("MCID".into(), number)]);
                let tag = tags.kind(element).into();
                let properties = DictItem::Dict { map };
                self.ops.push(Op::BeginMarkedContentWithProperties { tag, properties });
            }
        }
    }

    fn end_part(&mut self, tagged: bool) {
        if tagged {
            self.end_text();
            self.ops.push(Op::EndMarkedContent);
        }
    }

    fn walk(&mut self, nodes: &'a [Node], loose: &mut Vec<&'a Mark>) {
        for node in nodes {
            match node {
                Node::Group(group) if group.kind == GroupKind::System => {
                    self.flush(loose, false);
                    let mut marks = Vec::new();
                    gather(&group.children, &mut marks);
                    self.flush(&mut marks, true);
                }
                Node::Group(group) => self.walk(&group.children, loose),
                Node::Mark(mark) => loose.push(mark),
            }
        }
    }

    /// Ink, then words. Grey ink goes under black, as it does where grey is half transparent;
    /// glyphs go last, so that they share text objects.
    fn flush(&mut self, marks: &mut Vec<&'a Mark>, in_rows: bool) {
        let (mut words, mut ink): (Vec<_>, Vec<_>) =
            marks.drain(..).partition(|mark| matches!(mark.shape, Shape::Text { .. }));
        ink.sort_by_key(|m| (m.ink == Ink::Black, matches!(m.shape, Shape::Glyph { .. })));
        if !ink.is_empty() {
            self.unread(&ink);
        }
        if in_rows {
            sort_in_rows(&mut words);
        }
        for row in words.chunk_by(|a, b| stands_in_a_row(a) && a.kind == b.kind && same_row(a, b)) {
            self.row(row);
        }
    }

    /// Words that stand on one baseline. The gaps between syllables and letters under a staff are
    /// so wide that readers take them for columns; said as one, the row stays a row.
    fn row(&mut self, row: &[&Mark]) {
        let runs: Vec<&str> = row.iter().filter_map(|mark| words_of(mark)).collect();
        let said_as_one = runs.len() > 1;
        if said_as_one {
            self.begin_text();
            self.begin_reading(&runs.join(" "));
        }
        for mark in row {
            if let Shape::Text { run, at, size } = &mark.shape {
                self.set_ink(mark.ink);
                self.words(run, at.x, at.y, *size, said_as_one);
            }
        }
        if said_as_one {
            self.ops.push(Op::EndMarkedContent);
        }
    }

    /// Ink that copied text leaves out: it reads as nothing (ISO 32000-1, 14.9.4).
    fn unread(&mut self, ink: &[&Mark]) {
        self.end_text();
        self.begin_reading("");
        for mark in ink {
            self.set_ink(mark.ink);
            match &mark.shape {
                Shape::Box(rect) => {
                    self.end_text();
                    let rect = rect.abs();
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
                Shape::Path(path) => {
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
                Shape::Glyph { glyph, at, space } => {
                    let Some(face) = self.faces.get(FaceKey::Music) else { continue };
                    let Some(coded) = face.music_glyph(self.fonts, *glyph) else { continue };
                    self.set_font(FaceKey::Music, face, *space * SPACES_PER_EM);
                    self.move_to(at.x, at.y);
                    self.show(vec![Codepoint::with_cid(coded.code, 0.0, coded.reads.clone())]);
                }
                Shape::Text { .. } => {}
            }
        }
        self.end_text();
        self.ops.push(Op::EndMarkedContent);
    }

    fn words(&mut self, run: &Run, x: f64, y: f64, size: f64, said: bool) {
        if run.glyphs.is_empty() {
            return;
        }
        let mut line = Line::default();
        let mut now = None;
        for cluster in clusters(run) {
            let Some(key) = cluster.glyphs.first().map(|glyph| FaceKey::Text(glyph.face)) else {
                continue;
            };
            let Some(face) = self.faces.get(key) else { continue };
            if now.replace(key) != Some(key) {
                self.end_line(&mut line);
                self.set_font(key, face, size);
            }
            let spelled = cluster.glyphs.iter().map(|glyph| glyph.coded(face));
            let spelled: String = spelled.flatten().map(|coded| coded.reads.as_str()).collect();
            let exception = !said && spelled != cluster.words;
            if exception {
                self.end_line(&mut line);
                self.begin_reading(cluster.words);
            }
            for glyph in cluster.glyphs {
                let Some(coded) = glyph.coded(face) else { continue };
                if line.glyphs.is_empty() || line.rise != glyph.y {
                    self.end_line(&mut line);
                    self.move_to(x + glyph.x * size, y + glyph.y * size);
                    line = Line { glyphs: Vec::new(), rise: glyph.y, pen: glyph.x * 1000.0 };
                }
                line.kern_to(glyph.x * 1000.0);
                line.glyphs.push(Codepoint::with_cid(coded.code, 0.0, coded.reads.clone()));
                line.pen += coded.width;
            }
            if exception {
                self.end_line(&mut line);
                self.ops.push(Op::EndMarkedContent);
            }
        }
        self.end_line(&mut line);
    }

    fn end_line(&mut self, line: &mut Line) {
        let line = std::mem::take(line);
        if !line.glyphs.is_empty() {
            self.show(line.glyphs);
        }
    }

    fn show(&mut self, glyphs: Vec<Codepoint>) {
        self.ops.push(Op::ShowText { items: vec![TextItem::GlyphIds(glyphs)] });
    }

    fn move_to(&mut self, x: f64, y: f64) {
        let at = self.point(x, y);
        self.ops.push(Op::SetTextMatrix { matrix: TextMatrix::Translate(at.x, at.y) });
    }

    /// Opens a span that reads as `words`, whatever its glyphs read as.
    fn begin_reading(&mut self, words: &str) {
        let mut data = vec![0xFE, 0xFF];
        data.extend(words.encode_utf16().flat_map(u16::to_be_bytes));
        let words = DictItem::String { data, literal: false };
        let properties = DictItem::Dict { map: BTreeMap::from([("ActualText".into(), words)]) };
        self.ops.push(Op::BeginMarkedContentWithProperties { tag: "Span".into(), properties });
    }

    fn set_ink(&mut self, ink: Ink) {
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

    /// Two lines at each corner, on the edges of the trimmed page and outside of it.
    fn crop_marks(&mut self, page: &Page, gap: f64) {
        let half = CROP_WEIGHT / 2.0;
        let mut line = |x0: f64, y0: f64, x1: f64, y1: f64| {
            let corner = self.point(x0, y1);
            self.ops.push(Op::DrawRectangle {
                rectangle: Rect {
                    x: corner.x,
                    y: corner.y,
                    width: points(x1 - x0),
                    height: points(y1 - y0),
                    mode: Some(PaintMode::Fill),
                    winding_order: Some(WindingOrder::NonZero),
                },
            });
        };
        for x in [0.0, page.width] {
            line(x - half, -gap - CROP_MARK, x + half, -gap);
            line(x - half, page.height + gap, x + half, page.height + gap + CROP_MARK);
        }
        for y in [0.0, page.height] {
            line(-gap - CROP_MARK, y - half, -gap, y + half);
            line(page.width + gap, y - half, page.width + gap + CROP_MARK, y + half);
        }
    }

    fn set_font(&mut self, key: FaceKey, face: &Face, size: f64) {
        let size = points(size);
        self.begin_text();
        if self.text != Some(Some((key, size.0))) {
            let font = PdfFontHandle::External(face.font.clone());
            self.ops.push(Op::SetFont { font, size });
            self.text = Some(Some((key, size.0)));
        }
    }

    fn begin_text(&mut self) {
        if self.text.is_none() {
            self.ops.push(Op::StartTextSection);
            self.text = Some(None);
        }
    }

    fn end_text(&mut self) {
        if self.text.take().is_some() {
            self.ops.push(Op::EndTextSection);
        }
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

/// Glyphs of one baseline, and where the viewer's pen will stand, in thousandths of the em.
#[derive(Default)]
struct Line {
    glyphs: Vec<Codepoint>,
    rise: f64,
    pen: f64,
}

impl Line {
    /// Moves the pen after the last glyph; the widths a viewer knows leave out kerning.
    fn kern_to(&mut self, x: f64) {
        let kern = ((self.pen - x) * 10.0).round() / 10.0;
        if let Some(last) = self.glyphs.last_mut().filter(|_| kern != 0.0) {
            last.offset = kern as f32;
            self.pen -= kern;
        }
    }
}

/// Glyphs that stand for the same words.
struct Cluster<'a> {
    words: &'a str,
    glyphs: Vec<&'a crate::font::ShapedGlyph>,
}

fn clusters(run: &Run) -> Vec<Cluster<'_>> {
    let mut clusters: Vec<Cluster<'_>> = Vec::new();
    for (glyph, words) in run.glyph_words() {
        match clusters.last_mut() {
            Some(last) if words.is_empty() => last.glyphs.push(glyph),
            _ => clusters.push(Cluster { words, glyphs: vec![glyph] }),
        }
    }
    clusters
}

impl crate::font::ShapedGlyph {
    fn coded(self, face: &Face) -> Option<&Coded> {
        face.glyph(self.id)
    }
}

fn gather<'a>(nodes: &'a [Node], marks: &mut Vec<&'a Mark>) {
    for node in nodes {
        match node {
            Node::Group(group) => gather(&group.children, marks),
            Node::Mark(mark) => marks.push(mark),
        }
    }
}

/// The left end of a mark's baseline, where it is words.
fn baseline(mark: &Mark) -> kurbo::Point {
    match &mark.shape {
        Shape::Text { at, .. } => *at,
        _ => kurbo::Point::ZERO,
    }
}

fn words_of(mark: &Mark) -> Option<&str> {
    match &mark.shape {
        Shape::Text { run, .. } => Some(&run.text),
        _ => None,
    }
}

/// Whether marks of this kind stand under a staff, each at its note.
fn stands_in_a_row(mark: &Mark) -> bool {
    matches!(mark.kind, Kind::Count | Kind::Sticking | Kind::Pedalling | Kind::Words)
}

fn same_row(a: &Mark, b: &Mark) -> bool {
    (baseline(b).y - baseline(a).y).abs() < SAME_ROW
}

fn sort_in_rows(words: &mut [&Mark]) {
    words.sort_by(|a, b| baseline(a).y.total_cmp(&baseline(b).y));
    for row in words.chunk_by_mut(|a, b| same_row(a, b)) {
        row.sort_by(|a, b| baseline(a).x.total_cmp(&baseline(b).x));
    }
}

fn points(length: f64) -> Pt {
    Pt(round(length) as f32)
}
