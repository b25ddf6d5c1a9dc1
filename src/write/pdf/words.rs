//! Words as glyphs of embedded faces, each read as what it stands for.

use super::faces::{Face, FaceKey, Faces};
use super::stream::PageStream;
use crate::font::{GlyphRun, ShapedGlyph};
use kurbo::Point;
use printpdf::Codepoint;

/// Shows a run with its origin at a place of the page, its em `size` points. Where the run is `said`
/// by what stands around it, no glyph is read otherwise than it is spelled.
pub(super) fn show(
    stream: &mut PageStream,
    faces: &Faces,
    run: &GlyphRun,
    at: Point,
    size: f64,
    said: bool,
) {
    if run.glyphs.is_empty() {
        return;
    }
    let mut line = GlyphLine::default();
    let mut now = None;
    for cluster in clusters(run) {
        let Some(key) = cluster.glyphs.first().map(|glyph| FaceKey::Text(glyph.face)) else {
            continue;
        };
        let Some(face) = faces.get(key) else { continue };
        if now.replace(key) != Some(key) {
            line.show(stream);
            stream.set_font(key, face, size);
        }
        let exception = !said && cluster.spelled(face) != cluster.words;
        if exception {
            line.show(stream);
            stream.begin_reading(cluster.words);
        }
        for glyph in cluster.glyphs {
            line.add(stream, face, glyph, at, size);
        }
        if exception {
            line.show(stream);
            stream.end_reading();
        }
    }
    line.show(stream);
}

/// Glyphs of one baseline, and where the viewer's pen will stand, in thousandths of the em.
#[derive(Default)]
struct GlyphLine {
    glyphs: Vec<Codepoint>,
    rise: f64,
    pen: f64,
}

impl GlyphLine {
    /// Adds a glyph of a run that begins at a place of the page; one of another baseline begins a line.
    fn add(
        &mut self,
        stream: &mut PageStream,
        face: &Face,
        glyph: &ShapedGlyph,
        at: Point,
        size: f64,
    ) {
        let Some(coded) = face.glyph(glyph.id) else { return };
        if self.glyphs.is_empty() || self.rise != glyph.y {
            self.show(stream);
            stream.move_to(at.x + glyph.x * size, at.y + glyph.y * size);
            *self = Self { glyphs: Vec::new(), rise: glyph.y, pen: glyph.x * 1000.0 };
        }
        self.kern_to(glyph.x * 1000.0);
        self.glyphs.push(Codepoint::with_cid(coded.code, 0.0, coded.reads.clone()));
        self.pen += coded.width;
    }

    /// Moves the pen after the last glyph; the widths a viewer knows leave out kerning.
    fn kern_to(&mut self, x: f64) {
        let kern = ((self.pen - x) * 10.0).round() / 10.0;
        if let Some(last) = self.glyphs.last_mut().filter(|_| kern != 0.0) {
            last.offset = kern as f32;
            self.pen -= kern;
        }
    }

    /// Shows the glyphs and begins anew.
    fn show(&mut self, stream: &mut PageStream) {
        let line = std::mem::take(self);
        if !line.glyphs.is_empty() {
            stream.show(line.glyphs);
        }
    }
}

/// Glyphs that stand for the same words.
struct Cluster<'a> {
    words: &'a str,
    glyphs: Vec<&'a ShapedGlyph>,
}

impl Cluster<'_> {
    /// What its glyphs read as, one by one.
    fn spelled(&self, face: &Face) -> String {
        let coded = self.glyphs.iter().filter_map(|glyph| face.glyph(glyph.id));
        coded.map(|coded| coded.reads.as_str()).collect()
    }
}

fn clusters(run: &GlyphRun) -> Vec<Cluster<'_>> {
    let mut clusters: Vec<Cluster<'_>> = Vec::new();
    for (glyph, words) in run.glyph_words() {
        match clusters.last_mut() {
            Some(last) if words.is_empty() => last.glyphs.push(glyph),
            _ => clusters.push(Cluster { words, glyphs: vec![glyph] }),
        }
    }
    clusters
}
