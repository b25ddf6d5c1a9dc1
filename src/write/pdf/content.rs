//! What a page holds, in the order it is written and read.
//!
//! A line of music is written as its ink first and then its words, row by row from the top and
//! each row from left to right, so that copied text reads like the page: all counts, then all
//! stickings. Everything else is written in drawing order.

use super::crop_marks;
use super::face_key::FaceKey;
use super::options::{CROP_GAP, PdfOptions};
use super::page_content::PageContent;
use super::page_ink::PageInk;
use super::pictures;
use super::pictures::PictureNumbers;
use super::stream::PageStream;
use super::tags::{MarkedContent, Tags};
use super::words;
use crate::drawing::{
    GroupKind, Ink, Inset, InsetMarks, Kind, Mark, Node, Page, PictureForm, Shape,
};
use crate::font::{Fonts, SPACES_PER_EM};
use crate::score::printing::Background;
use kurbo::{Point, Rect};
use std::rc::Rc;

/// Rows whose baselines lie closer than this, in points, are one row.
const SAME_ROW: f64 = 0.5;

/// How a page is cut into parts that are marked as one, where there is a structure.
pub(super) struct Parts {
    tagged: bool,
    /// How each is opened, and how many of the page's nodes it has.
    parts: Vec<(Option<MarkedContent>, usize)>,
}

impl Parts {
    /// Cuts the page that follows those before it.
    pub(super) fn of(page: &Page, tags: Option<&mut Tags>) -> Self {
        let Some(tags) = tags else {
            return Self { tagged: false, parts: vec![(None, page.nodes.len())] };
        };
        tags.page();
        let kinds: Vec<_> = page.nodes.iter().map(|node| tags.part(node)).collect();
        let parts = kinds.chunk_by(|a, b| a == b).filter_map(|part| {
            let first = part.first()?;
            Some((Some(tags.content(*first)), part.len()))
        });
        Self { tagged: true, parts: parts.collect() }
    }
}

/// What contents are written with.
#[derive(Clone, Copy)]
pub(super) struct Writing<'a> {
    pub(super) fonts: &'a Fonts,
    pub(super) options: &'a PdfOptions,
    pub(super) ink: PageInk,
    pub(super) pictures: &'a PictureNumbers,
}

/// The content of a page that is cut into parts.
pub(super) fn write(page: &Page, parts: &Parts, writing: Writing<'_>) -> PageContent {
    let stream = PageStream::new(page.height, writing.ink);
    let mut content = Growing { writing, repeats: false, stream };
    match page.colours.background {
        Background::Paper | Background::None => {}
        Background::Colour(colour) => {
            content.begin_part(parts.tagged.then_some(MarkedContent::Artifact));
            let bleed = writing.options.bleed.max(0.0);
            let whole = Rect::new(0.0, 0.0, page.width, page.height).inflate(bleed, bleed);
            content.stream.background(colour, whole);
            content.end_part(parts.tagged);
        }
    }
    if writing.options.crop_marks {
        content.begin_part(parts.tagged.then_some(MarkedContent::Artifact));
        let bleed = writing.options.bleed.max(CROP_GAP);
        crop_marks::draw(&mut content.stream, page, bleed);
        content.end_part(parts.tagged);
    }
    let mut rest = page.nodes.as_slice();
    for (part, count) in &parts.parts {
        let (nodes, others) = rest.split_at_checked(*count).unwrap_or((rest, &[]));
        rest = others;
        content.begin_part(*part);
        content.nodes(nodes);
        content.end_part(parts.tagged);
    }
    content.stream.finish()
}

/// The content of an inset with a unit of so many points, and its origin at zero.
pub(super) fn inset(marks: &[Node], unit: f64, writing: Writing<'_>) -> PageContent {
    let stream = PageStream::of_inset(writing.ink, unit);
    let mut content = Growing { writing, repeats: true, stream };
    content.nodes(marks);
    content.stream.finish()
}

/// The content of a page as it grows.
struct Growing<'a> {
    writing: Writing<'a>,
    /// Whether its words are the same again and again, as in lines of music.
    repeats: bool,
    stream: PageStream,
}

impl Growing<'_> {
    fn nodes(&mut self, nodes: &[Node]) {
        let mut loose = Vec::new();
        self.walk(nodes, &mut loose);
        self.flush(&mut loose, false);
    }

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

    fn walk<'n>(&mut self, nodes: &'n [Node], loose: &mut Vec<&'n Mark>) {
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
                    self.inset(inset);
                }
            }
        }
    }

    fn inset(&mut self, inset: &Inset) {
        match &inset.marks {
            InsetMarks::Nodes(marks) => {
                let unit = inset.scale * self.stream.scale();
                let content = self::inset(marks, unit, self.writing);
                self.stream.inset(inset.at, &content);
            }
            InsetMarks::Written(ink) => {
                if let Some(content) = ink.read() {
                    self.stream.inset(inset.at, content);
                }
            }
        }
    }

    /// Ink, then words. Grey ink goes under black, as it does where grey is half transparent; boxes
    /// go together and share a filling, glyphs go last and share text objects.
    fn flush(&mut self, marks: &mut Vec<&Mark>, in_rows: bool) {
        let (mut words, mut ink): (Vec<_>, Vec<_>) =
            marks.drain(..).partition(|mark| matches!(mark.shape, Shape::Text { .. }));
        ink.sort_by_key(|mark| (mark.ink == Ink::Black, form(mark)));
        if !ink.is_empty() {
            self.unread(&ink);
        }
        let apart = SAME_ROW / self.stream.scale();
        if in_rows {
            sort_in_rows(&mut words, apart);
        }
        let joined =
            |a: &&Mark, b: &&Mark| stands_in_a_row(a) && a.kind == b.kind && same_row(a, b, apart);
        for row in words.chunk_by(joined) {
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
                let fonts = self.writing.fonts;
                let place = (*at, *size);
                let encoded = match self.repeats {
                    true => words::encoded(run, fonts),
                    false => Rc::new(words::encode(run, fonts)),
                };
                words::show(&mut self.stream, &encoded, place, said_as_one);
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
                    let Some(glyph) = words::sign(*glyph, self.writing.fonts) else { continue };
                    stream.show(FaceKey::Music, *space * SPACES_PER_EM, *at, glyph.shown());
                }
                Shape::Picture { picture, area } => match &picture.form {
                    PictureForm::Pixels { .. } => {
                        if let Some(number) = self.writing.pictures.get(picture) {
                            stream.picture(&pictures::name(number), *area);
                        }
                    }
                    PictureForm::Outlines(outlines) => {
                        stream.outlines(outlines, (picture.width, picture.height), *area);
                    }
                },
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
        Shape::Picture { .. } => 0,
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
        Shape::Box(_) | Shape::Path(_) | Shape::Picture { .. } | Shape::Glyph { .. } => Point::ZERO,
    }
}

fn words_of(mark: &Mark) -> Option<&str> {
    match &mark.shape {
        Shape::Text { run, .. } => Some(&run.text),
        Shape::Box(_) | Shape::Path(_) | Shape::Picture { .. } | Shape::Glyph { .. } => None,
    }
}

/// Whether marks of this kind stand under a staff, each at its note.
fn stands_in_a_row(mark: &Mark) -> bool {
    matches!(mark.kind, Kind::Count | Kind::Sticking | Kind::Pedalling | Kind::Words)
}

fn same_row(a: &Mark, b: &Mark, apart: f64) -> bool {
    (baseline(b).y - baseline(a).y).abs() < apart
}

fn sort_in_rows(words: &mut [&Mark], apart: f64) {
    words.sort_by(|a, b| baseline(a).y.total_cmp(&baseline(b).y));
    for row in words.chunk_by_mut(|a, b| same_row(a, b, apart)) {
        row.sort_by(|a, b| baseline(a).x.total_cmp(&baseline(b).x));
    }
}
