//! Words as glyphs of embedded faces, each read as what it stands for: encoded once, and shown wherever
//! they stand.

use super::face_key::FaceKey;
use super::glyphs::{ShownGlyph, ShownGlyphs, put_glyph};
use super::operand::{put_integer, thousandths};
use super::stream::PageStream;
use crate::font::{Fonts, Glyph, GlyphRun, ShapedGlyph};
use kurbo::{Point, Vec2};
use smallvec::SmallVec;
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;
use std::sync::Arc;

/// A run of words as it is written.
#[derive(Debug, Default)]
pub(super) struct EncodedRun(SmallVec<[RunPiece; 1]>);

/// A part of a run.
#[derive(Debug)]
enum RunPiece {
    /// Glyphs of one face and baseline; the origin of the first from the run's, in ems.
    Glyphs(FaceKey, Vec2, ShownGlyphs),
    /// What follows reads otherwise than it is spelled.
    Reading(String),
    /// It does so no more.
    ReadingEnds,
}

/// How many runs are held at most.
const HELD: usize = 512;

type EncodedRuns = HashMap<usize, (Arc<GlyphRun>, Rc<EncodedRun>)>;

thread_local! {
    /// The last runs of lines of music, by where they lie in memory, which is theirs as long as they are held: syllables
    /// and letters are the same all through a book.
    static ENCODED: RefCell<EncodedRuns> = RefCell::default();
}

/// Encodes a run that is shown again and again.
pub(super) fn encoded(run: &Arc<GlyphRun>, fonts: &Fonts) -> Rc<EncodedRun> {
    ENCODED.with_borrow_mut(|known| {
        if known.len() >= HELD {
            known.clear();
        }
        let at = Arc::as_ptr(run) as usize;
        let (_, encoded) =
            known.entry(at).or_insert_with(|| (run.clone(), Rc::new(encode(run, fonts))));
        encoded.clone()
    })
}

/// Encodes a run.
pub(super) fn encode(run: &GlyphRun, fonts: &Fonts) -> EncodedRun {
    let mut line = GlyphLine { room: SYLLABLE.max(GLYPH * run.count()), ..GlyphLine::default() };
    match run.letters() {
        Some(letters) => letters.for_each(|letter| line.cluster(fonts, &[letter])),
        None => {
            let glyphs: SmallVec<[_; 8]> = run.glyph_words().collect();
            // Glyphs without words belong to those before them.
            let clusters = glyphs.chunk_by(|_, (_, words)| words.is_empty());
            clusters.for_each(|cluster| line.cluster(fonts, cluster));
        }
    }
    line.end();
    EncodedRun(line.pieces)
}

/// Shows a run with its origin at a place of the page, its em `size` points. Where the run is `said`
/// by what stands around it, no glyph is read otherwise than it is spelled.
pub(super) fn show(
    stream: &mut PageStream,
    run: &EncodedRun,
    (at, size): (Point, f64),
    said: bool,
) {
    for piece in &run.0 {
        match piece {
            RunPiece::Glyphs(key, from, glyphs) => {
                stream.show(*key, size, at + *from * size, glyphs.shown());
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

/// A sign of music; nothing where the font lacks it.
pub(super) fn sign(sign: Glyph, fonts: &Fonts) -> Option<ShownGlyph> {
    let id = fonts.music.glyph_id(sign)?;
    Some(ShownGlyph::new(FaceKey::Music, id, fonts.music.thousandths(sign)))
}

/// Bytes that a syllable takes.
const SYLLABLE: usize = 24;
/// Bytes that a glyph takes among others, with what kerns are between them.
const GLYPH: usize = 6;

/// The pieces of a run as they grow, and the glyphs of one baseline that are the next.
#[derive(Default)]
struct GlyphLine {
    /// Of a syllable it is one.
    pieces: SmallVec<[RunPiece; 1]>,
    key: Option<FaceKey>,
    /// The origin of its first glyph, in ems.
    from: Vec2,
    glyphs: ShownGlyphs,
    /// How many bytes are made room for.
    room: usize,
}

impl GlyphLine {
    /// Adds the glyphs of a cluster, of which the first has its words.
    fn cluster(&mut self, fonts: &Fonts, cluster: &[(ShapedGlyph, &str)]) {
        let Some((first, words)) = cluster.first() else { return };
        let key = FaceKey::Text(first.face);
        if self.key != Some(key) {
            self.end();
            self.key = Some(key);
        }
        let exception =
            !cluster.iter().all(|(glyph, words)| fonts.text.reads_as(glyph.face, glyph.id, words));
        if exception {
            self.end();
            self.pieces.push(RunPiece::Reading((*words).to_owned()));
        }
        for (glyph, _) in cluster {
            self.add(fonts, glyph);
        }
        if exception {
            self.end();
            self.pieces.push(RunPiece::ReadingEnds);
        }
    }

    /// Adds a glyph; one of another baseline begins a line.
    fn add(&mut self, fonts: &Fonts, glyph: &ShapedGlyph) {
        let at = glyph.origin();
        if self.glyphs.array.is_empty() || self.from.y != at.y {
            self.end();
            self.from = at;
            self.glyphs.array.reserve(self.room);
            self.glyphs.array.push(b'<');
        }
        self.kern_to(thousandths(at.x - self.from.x));
        put_glyph(&mut self.glyphs.array, FaceKey::Text(glyph.face), glyph.id);
        let width = fonts.text.thousandths(glyph.face, glyph.id);
        self.glyphs.advance = self.glyphs.advance.saturating_add(width);
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
