//! Metronome marks and metric modulations.

use super::inscription::{Inscription, TRIPLET_DIGIT};
use crate::drawing::Kind;
use crate::engrave::engraver::Engraver;
use crate::engrave::notate::value::Value;
use crate::font::{FaceStyle, Glyph};
use crate::score::Time;
use crate::score::settings::Tempo;

/// From the words of a tempo to its note (no source).
const AFTER_WORDS: f64 = 0.8;
/// On each side of an equals sign (no source).
const EQUALS_ROOM: f64 = 0.55;
/// From a note to its dot (no source).
const DOT_ROOM: f64 = 0.15;
/// From a note to the 3 over it (no source).
const DIGIT_LIFT: f64 = 0.3;

impl Inscription {
    /// A metronome mark: words, a note, and how many a minute.
    pub fn tempo(engraver: &Engraver<'_>, tempo: &Tempo) -> Self {
        let mut inscription = Self::default();
        if let Some(words) = &tempo.words {
            inscription.text(engraver, Kind::Tempo, words, FaceStyle::Semibold);
            inscription.width += AFTER_WORDS;
        }
        inscription.metronome_note(engraver, tempo.unit);
        let mut number = tempo.per_minute.to_string();
        if let Some(most) = tempo.up_to {
            number.push_str(&format!("\u{2013}{most}"));
        }
        inscription.width += EQUALS_ROOM;
        inscription.text(engraver, Kind::Tempo, &format!("= {number}"), FaceStyle::Regular);
        inscription
    }

    /// A metric modulation: what was one note value is now another.
    pub fn modulation(engraver: &Engraver<'_>, was: Time, now: Time) -> Self {
        let mut inscription = Self::default();
        inscription.counted_note(engraver, was);
        inscription.width += EQUALS_ROOM;
        inscription.text(engraver, Kind::Tempo, "=", FaceStyle::Regular);
        inscription.width += EQUALS_ROOM;
        inscription.counted_note(engraver, now);
        inscription
    }

    /// A note value, under a 3 where it is one of a triplet.
    fn counted_note(&mut self, engraver: &Engraver<'_>, unit: Time) {
        if Value::exactly(unit).is_some() {
            self.metronome_note(engraver, unit);
            return;
        }
        let left = self.width;
        self.metronome_note(engraver, unit * 3 / 2);
        let digit = Glyph::TUPLET_3;
        let bounds = engraver.fonts.music.bounds(digit);
        let top = self.marks.iter().map(|m| engraver.bounds(&m.shape).y0).fold(0.0, f64::min);
        let x = (left + self.width) / 2.0 - (bounds.x0 + bounds.x1) / 2.0 * TRIPLET_DIGIT;
        let y = top - DIGIT_LIFT - bounds.y1 * TRIPLET_DIGIT;
        self.marks.push(engraver.glyph_scaled(Kind::Tempo, digit, x, y, TRIPLET_DIGIT));
    }

    fn metronome_note(&mut self, engraver: &Engraver<'_>, unit: Time) {
        let Some(value) = Value::exactly(unit) else { return };
        let glyph = match value.halvings {
            ..=0 => Glyph::MET_NOTE_WHOLE,
            1 => Glyph::MET_NOTE_HALF_UP,
            2 => Glyph::MET_NOTE_QUARTER_UP,
            3 => Glyph::MET_NOTE_8TH_UP,
            4 => Glyph::MET_NOTE_16TH_UP,
            _ => Glyph::MET_NOTE_32ND_UP,
        };
        self.glyph(engraver, Kind::Tempo, glyph);
        if value.dots > 0 {
            self.width += DOT_ROOM;
            self.glyph(engraver, Kind::Tempo, Glyph::MET_AUGMENTATION_DOT);
        }
    }
}
