//! Words as glyphs of embedded faces, each read as what it stands for: encoded once, and shown wherever
//! they stand.

use super::faces::{Face, FaceKey, Faces};
use super::glyphs::ShownGlyphs;
use super::object::put_code;
use super::operand::{put_integer, thousandths};
use super::stream::PageStream;
use crate::font::{GlyphRun, ShapedGlyph};
use kurbo::{Point, Vec2};

/// A run of words as it is written.
#[derive(Debug, Default)]
pub(super) struct EncodedRun(Vec<RunPiece>);

/// A part of a run.
#[derive(Debug)]
enum RunPiece {
    /// ShownGlyphs of one face and baseline; the origin of the first from the run's, in ems.
    Glyphs(FaceKey, Vec2, ShownGlyphs),
    /// What follows reads otherwise than it is spelled.
    Reading(String),
    /// It does so no more.
    ReadingEnds,
}

/// Encodes a run with the faces of the document.
pub(super) fn encode(run: &GlyphRun, faces: &Faces) -> EncodedRun {
    let mut line = GlyphLine::default();
    let glyphs: Vec<_> = run.glyph_words().collect();
    // ShownGlyphs without words belong to those before them.
    for cluster in glyphs.chunk_by(|_, (_, words)| words.is_empty()) {
        let Some((first, words)) = cluster.first() else { continue };
        let key = FaceKey::Text(first.face);
        let Some(face) = faces.get(key) else { continue };
        if line.key != Some(key) {
            line.end();
            line.key = Some(key);
        }
        let exception = !spell(cluster, face, words);
        if exception {
            line.end();
            line.pieces.push(RunPiece::Reading((*words).to_owned()));
        }
        for (glyph, _) in cluster {
            line.add(face, glyph);
        }
        if exception {
            line.end();
            line.pieces.push(RunPiece::ReadingEnds);
        }
    }
    line.end();
    EncodedRun(line.pieces)
}

/// Whether what glyphs read as, one by one, comes to their words.
fn spell(cluster: &[(&ShapedGlyph, &str)], face: &Face, words: &str) -> bool {
    let mut coded = cluster.iter().filter_map(|(glyph, _)| face.glyph(glyph.id));
    coded.try_fold(words, |rest, coded| rest.strip_prefix(coded.reads.as_str())) == Some("")
}

/// Shows a run with its origin at a place of the page, its em `size` points. Where the run is `said`
/// by what stands around it, no glyph is read otherwise than it is spelled.
pub(super) fn show(
    stream: &mut PageStream,
    faces: &Faces,
    run: &EncodedRun,
    at: Point,
    size: f64,
    said: bool,
) {
    for piece in &run.0 {
        match piece {
            RunPiece::Glyphs(key, from, glyphs) => {
                let Some(face) = faces.get(*key) else { continue };
                stream.show((*key, face.resource()), size, at + *from * size, glyphs);
            }
            RunPiece::Reading(words) if !said => {
                stream.begin_text();
                stream.begin_reading(words);
            }
            RunPiece::ReadingEnds if !said => stream.end_reading(),
            RunPiece::Reading(_) | RunPiece::ReadingEnds => {}
        }
    }
}

/// The pieces of a run as they grow, and the glyphs of one baseline that are the next.
#[derive(Default)]
struct GlyphLine {
    pieces: Vec<RunPiece>,
    key: Option<FaceKey>,
    /// The origin of its first glyph, in ems.
    from: Vec2,
    glyphs: ShownGlyphs,
}

impl GlyphLine {
    /// Adds a glyph; one of another baseline begins a line.
    fn add(&mut self, face: &Face, glyph: &ShapedGlyph) {
        let Some(coded) = face.glyph(glyph.id) else { return };
        let at = Vec2::new(glyph.x, glyph.y);
        if self.glyphs.array.is_empty() || self.from.y != at.y {
            self.end();
            self.from = at;
            self.glyphs.array.push(b'<');
        }
        self.kern_to(thousandths(at.x - self.from.x));
        put_code(&mut self.glyphs.array, coded.code);
        self.glyphs.advance = self.glyphs.advance.saturating_add(coded.width);
    }

    /// Moves the pen after the last glyph; the widths a viewer knows leave out kerning. Whole
    /// thousandths of the em are closer than a printer sets dots.
    fn kern_to(&mut self, x: i64) {
        let kern = self.glyphs.advance.saturating_sub(x);
        if kern != 0 {
            self.glyphs.array.push(b'>');
            put_integer(&mut self.glyphs.array, kern);
            self.glyphs.array.push(b'<');
            self.glyphs.several = true;
            self.glyphs.advance = x;
        }
    }

    /// Ends the line, where one has begun.
    fn end(&mut self) {
        let mut glyphs = std::mem::take(&mut self.glyphs);
        if let (Some(key), false) = (self.key, glyphs.array.is_empty()) {
            glyphs.array.push(b'>');
            self.pieces.push(RunPiece::Glyphs(key, self.from, glyphs));
        }
    }
}
