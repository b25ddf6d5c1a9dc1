//! Words and notes over the staff, set one after another.

use crate::drawing::{Kind, Mark};
use crate::engrave::engraver::Engraver;
use crate::font::{FaceStyle, Glyph};
use crate::score::mark::Direction;

/// How far to the left of its note's centre an inscription begins (no source).
pub const INSCRIPTION_LEAN: f64 = 0.6;
/// Size of notes among words against notes on the staff (no source).
pub const NOTE_SCALE: f64 = 0.62;
/// Size of the 3 over small notes (no source).
pub const TRIPLET_DIGIT: f64 = 0.7;
/// Height of a sign after words against the size of the words (no source).
const SIGN_HEIGHT: f64 = 1.25;
/// Between words and the sign that follows them (no source).
const BEFORE_SIGN: f64 = 0.7;
/// Below this a sign has no height.
const LEAST_HEIGHT: f64 = 1e-3;

/// Marks on a baseline at y zero, from x zero to the right.
#[derive(Debug, Default)]
pub struct Inscription {
    /// The marks.
    pub marks: Vec<Mark>,
    /// Where the next mark goes.
    pub width: f64,
}

impl Inscription {
    /// Words in italics.
    pub fn italic(engraver: &Engraver<'_>, words: &str) -> Self {
        let mut inscription = Self::default();
        inscription.text(engraver, Kind::Words, words, FaceStyle::Italic);
        inscription
    }

    /// A direction at the end of its bar; the one to the coda with the sign that is gone on to.
    pub fn direction(engraver: &Engraver<'_>, direction: Direction) -> Self {
        let mut inscription = Self::italic(engraver, direction.words());
        match direction {
            Direction::ToCoda => {
                inscription.width += BEFORE_SIGN;
                inscription.sign(engraver, Glyph::CODA);
            }
            Direction::Fine | Direction::Jump { .. } => {}
        }
        inscription
    }

    /// Adds a sign as high as a line of words, in the middle of its capitals.
    fn sign(&mut self, engraver: &Engraver<'_>, sign: Glyph) {
        let bounds = engraver.fonts.music.bounds(sign);
        let size = engraver.pt(engraver.points(engraver.style.tempo));
        let scale = SIGN_HEIGHT * size / bounds.height().max(LEAST_HEIGHT);
        let capitals = engraver.fonts.text.cap_height(FaceStyle::Italic) * size;
        let x = self.width - bounds.x0 * scale;
        let y = -capitals / 2.0 - (bounds.y0 + bounds.y1) / 2.0 * scale;
        self.marks.push(engraver.glyph_scaled(Kind::Sign, sign, x, y, scale));
        self.width += bounds.width() * scale;
    }

    /// Adds words.
    pub fn text(&mut self, engraver: &Engraver<'_>, kind: Kind, text: &str, style: FaceStyle) {
        let points = engraver.points(engraver.style.tempo);
        let (run, width) = engraver.words(text, style, points);
        self.marks.push(engraver.text(kind, run, self.width, 0.0, points));
        self.width += width;
    }

    /// Makes it smaller where it is wider than that.
    pub fn shrink_to(&mut self, width: f64) {
        let scale = width / self.width;
        if scale >= 1.0 {
            return;
        }
        for mark in &mut self.marks {
            mark.shape = mark.shape.clone().scaled_and_moved(scale, 0.0, 0.0);
        }
        self.width = width;
    }

    /// Adds a glyph of a note.
    pub fn glyph(&mut self, engraver: &Engraver<'_>, kind: Kind, glyph: Glyph) {
        let bounds = engraver.fonts.music.bounds(glyph);
        let x = self.width - bounds.x0 * NOTE_SCALE;
        let y = -bounds.y1 * NOTE_SCALE;
        self.marks.push(engraver.glyph_scaled(kind, glyph, x, y, NOTE_SCALE));
        self.width += bounds.width() * NOTE_SCALE;
    }
}
