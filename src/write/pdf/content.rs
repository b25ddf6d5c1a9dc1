//! What a page holds, in the order it is written and read.
//!
//! A line of music is written as its ink first and then its words, row by row from the top and
//! each row from left to right, so that copied text reads like the page: all counts, then all
//! stickings. Everything else is written in drawing order.

use super::crop_marks;
use super::encoded::Encoded;
use super::faces::FaceKey;
use super::options::{CROP_GAP, InkSpace, PdfOptions};
use super::stream::PageStream;
use super::tags::{MarkedContent, Tags};
use super::words;
use crate::drawing::{GroupKind, Ink, Inset, Kind, Mark, Node, Page, Shape};
use crate::font::SPACES_PER_EM;
use kurbo::Point;

/// Rows whose baselines lie closer than this, in points, are one row.
const SAME_ROW: f64 = 0.5;

/// A page cut into parts that are marked as one, where there is a structure.
pub(super) struct Parts<'a> {
    page: &'a Page,
    tagged: bool,
    parts: Vec<(Option<MarkedContent>, &'a [Node])>,
}

impl<'a> Parts<'a> {
    /// Cuts the page that follows those before it.
    pub(super) fn of(page: &'a Page, tags: Option<&mut Tags>) -> Self {
        let Some(tags) = tags else {
            return Self { page, tagged: false, parts: vec![(None, &page.nodes)] };
        };
        tags.page();
        let kinds: Vec<_> = page.nodes.iter().map(|node| tags.part(node)).collect();
        let mut parts = Vec::new();
        let mut rest = page.nodes.as_slice();
        for part in kinds.chunk_by(|a, b| a == b) {
            let (nodes, others) = rest.split_at(part.len());
            rest = others;
            parts.extend(part.first().map(|part| (Some(tags.content(*part)), nodes)));
        }
        Self { page, tagged: true, parts }
    }
}

/// The content of a page.
pub(super) fn write(parts: &Parts<'_>, encoded: &Encoded, options: &PdfOptions) -> Vec<u8> {
    let stream = PageStream::new(parts.page.height, options.ink);
    let mut content = PageContent { encoded, stream };
    if options.crop_marks {
        content.begin_part(parts.tagged.then_some(MarkedContent::Artifact));
        crop_marks::draw(&mut content.stream, parts.page, options.bleed.max(CROP_GAP));
        content.end_part(parts.tagged);
    }
    for (part, nodes) in &parts.parts {
        content.begin_part(*part);
        let mut loose = Vec::new();
        content.walk(nodes, &mut loose);
        content.flush(&mut loose, false);
        content.end_part(parts.tagged);
    }
    content.stream.finish()
}

/// The content of an inset, with its origin at zero.
fn inset_content(inset: &Inset, encoded: &Encoded, ink: InkSpace) -> Vec<u8> {
    let nodes: Vec<Node> =
        inset.nodes.iter().map(|node| node.clone().transform(inset.scale, 0.0, 0.0)).collect();
    let mut content = PageContent { encoded, stream: PageStream::of_inset(ink) };
    let mut loose = Vec::new();
    content.walk(&nodes, &mut loose);
    content.flush(&mut loose, false);
    content.stream.finish()
}

/// The content of a page as it grows.
struct PageContent<'a> {
    encoded: &'a Encoded,
    stream: PageStream,
}

impl<'a> PageContent<'a> {
    /// Opens the marked content of a part, where there is a structure.
    fn begin_part(&mut self, part: Option<MarkedContent>) {
        match part {
            None => {}
            Some(MarkedContent::Artifact) => self.stream.begin_content("Artifact", None),
            Some(MarkedContent::Said { tag, number }) => {
                self.stream.begin_content(tag, Some(number))
            }
        }
    }

    fn end_part(&mut self, tagged: bool) {
        if tagged {
            self.stream.end_content();
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
                Node::Inset(inset) => {
                    self.flush(loose, false);
                    let content = inset_content(inset, self.encoded, self.stream.space());
                    self.stream.inset(inset.at, &content);
                }
            }
        }
    }

    /// Ink, then words. Grey ink goes under black, as it does where grey is half transparent; boxes
    /// go together and share a filling, glyphs go last and share text objects.
    fn flush(&mut self, marks: &mut Vec<&'a Mark>, in_rows: bool) {
        let (mut words, mut ink): (Vec<_>, Vec<_>) =
            marks.drain(..).partition(|mark| matches!(mark.shape, Shape::Text { .. }));
        ink.sort_by_key(|mark| (mark.ink == Ink::Black, form(mark)));
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
            self.stream.begin_text();
            self.stream.begin_reading(&runs.join(" "));
        }
        for mark in row {
            if let Shape::Text { run, at, size } = &mark.shape {
                self.stream.set_ink(mark.ink);
                let Some(run) = self.encoded.run(run) else { continue };
                words::show(&mut self.stream, &self.encoded.faces, run, *at, *size, said_as_one);
            }
        }
        if said_as_one {
            self.stream.end_reading();
        }
    }

    /// Ink that copied text leaves out: it reads as nothing (ISO 32000-1, 14.9.4).
    fn unread(&mut self, ink: &[&Mark]) {
        let stream = &mut self.stream;
        stream.end_text();
        stream.begin_reading("");
        for mark in ink {
            stream.set_ink(mark.ink);
            match &mark.shape {
                Shape::Box(rect) => stream.rectangle(rect.abs()),
                Shape::Path(path) => stream.polygon(path),
                Shape::Glyph { glyph, at, space } => {
                    let Some(glyphs) = self.encoded.sign(*glyph) else { continue };
                    let Some(face) = self.encoded.faces.get(FaceKey::Music) else { continue };
                    let font = (FaceKey::Music, face.resource());
                    stream.show(font, *space * SPACES_PER_EM, *at, glyphs);
                }
                Shape::Text { .. } => {}
            }
        }
        stream.end_text();
        stream.end_reading();
    }
}

/// The order in which the forms of ink are written.
fn form(mark: &Mark) -> u8 {
    match mark.shape {
        Shape::Box(_) => 0,
        Shape::Path(_) => 1,
        Shape::Glyph { .. } | Shape::Text { .. } => 2,
    }
}

fn gather<'a>(nodes: &'a [Node], marks: &mut Vec<&'a Mark>) {
    for node in nodes {
        match node {
            Node::Group(group) => gather(&group.children, marks),
            Node::Mark(mark) => marks.push(mark),
            // Lines of music hold none.
            Node::Inset(_) => {}
        }
    }
}

/// The left end of a mark's baseline, where it is words.
fn baseline(mark: &Mark) -> Point {
    match &mark.shape {
        Shape::Text { at, .. } => *at,
        Shape::Box(_) | Shape::Path(_) | Shape::Glyph { .. } => Point::ZERO,
    }
}

fn words_of(mark: &Mark) -> Option<&str> {
    match &mark.shape {
        Shape::Text { run, .. } => Some(&run.text),
        Shape::Box(_) | Shape::Path(_) | Shape::Glyph { .. } => None,
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
