//! Words and notes over the staff, set one after another.

use crate::drawing::{Kind, Mark};
use crate::engrave::engraver::Engraver;
use crate::font::{FaceStyle, Glyph};

/// Size of notes among words against notes on the staff (no source).
pub const NOTE_SCALE: f64 = 0.62;
/// Size of the 3 over small notes (no source).
pub const TRIPLET_DIGIT: f64 = 0.7;

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

    /// Adds words.
    pub fn text(&mut self, engraver: &Engraver<'_>, kind: Kind, text: &str, style: FaceStyle) {
        let points = engraver.points(engraver.style.tempo);
        let (run, width) = engraver.words(text, style, points);
        self.marks.push(engraver.text(kind, run, self.width, 0.0, points));
        self.width += width;
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
