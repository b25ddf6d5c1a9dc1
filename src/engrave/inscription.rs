//! Notes set among words: metronome marks and swing equations.

use super::curve;
use super::engraver::Engraver;
use super::value::Value;
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{Anchor, FaceStyle, Glyph};
use crate::score::Time;
use crate::score::settings::{Swing, Tempo};
use kurbo::{Point, Rect};

/// Marks on a baseline at y nought, from x nought to the right.
#[derive(Debug, Default)]
pub struct Inscription {
    /// The marks.
    pub marks: Vec<Mark>,
    /// Where the next mark goes.
    pub width: f64,
}

/// Size of notes among words against notes on the staff.
const NOTE_SCALE: f64 = 0.62;
/// Size of the 3 over small notes.
const TRIPLET_DIGIT: f64 = 0.7;
/// Stems of the small beamed notes of an equation, in staff spaces.
const STEM: f64 = 2.0;

impl Inscription {
    /// A metronome mark: words, a note, and how many a minute.
    pub fn tempo(engraver: &Engraver<'_>, tempo: &Tempo) -> Self {
        let mut inscription = Self::default();
        if let Some(words) = &tempo.words {
            inscription.text(engraver, Kind::Tempo, words, FaceStyle::Bold);
            inscription.width += 0.8;
        }
        inscription.metronome_note(engraver, tempo.unit);
        let number = if tempo.per_minute.fract() == 0.0 {
            format!("{:.0}", tempo.per_minute)
        } else {
            format!("{}", tempo.per_minute)
        };
        inscription.width += 0.55;
        inscription.text(engraver, Kind::Tempo, &format!("= {number}"), FaceStyle::Regular);
        inscription
    }

    /// A swing equation: two even notes on the left, what they sound like on the right.
    pub fn swing(engraver: &Engraver<'_>, swing: &Swing) -> Self {
        let mut inscription = Self::default();
        let beams = Value::exactly(swing.unit).map_or(1, Value::flags).max(1);
        inscription.pair(engraver, [beams, beams], [0, 0]);
        inscription.width += 0.45;
        inscription.text(engraver, Kind::Swing, "=", FaceStyle::Regular);
        inscription.width += 0.45;
        match (swing.long, swing.short) {
            (2, 1) => inscription.triplet_pair(engraver, beams),
            (3, 1) => inscription.pair(engraver, [beams, beams + 1], [1, 0]),
            (long, short) => {
                inscription.pair(engraver, [beams, beams], [0, 0]);
                inscription.width += 0.7;
                inscription.text(
                    engraver,
                    Kind::Swing,
                    &format!("{long}:{short}"),
                    FaceStyle::Regular,
                );
            }
        }
        inscription
    }

    /// A metric modulation: what was one note value is now another.
    pub fn modulation(engraver: &Engraver<'_>, was: Time, now: Time) -> Self {
        let mut inscription = Self::default();
        inscription.counted_note(engraver, was);
        inscription.width += 0.55;
        inscription.text(engraver, Kind::Tempo, "=", FaceStyle::Regular);
        inscription.width += 0.55;
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
        let y = top - 0.3 - bounds.y1 * TRIPLET_DIGIT;
        self.marks.push(engraver.glyph_scaled(Kind::Tempo, digit, x, y, TRIPLET_DIGIT));
    }

    /// Adds words.
    pub fn text(&mut self, engraver: &Engraver<'_>, kind: Kind, text: &str, style: FaceStyle) {
        let points = engraver.style.tempo_pt;
        let (run, width) = engraver.words(text, style, points);
        self.marks.push(engraver.text(kind, run, self.width, 0.0, points));
        self.width += width;
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
            self.width += 0.15;
            self.glyph(engraver, Kind::Tempo, Glyph::MET_AUGMENTATION_DOT);
        }
    }

    fn glyph(&mut self, engraver: &Engraver<'_>, kind: Kind, glyph: Glyph) {
        let bounds = engraver.fonts.music.bounds(glyph);
        let x = self.width - bounds.x0 * NOTE_SCALE;
        let y = -bounds.y1 * NOTE_SCALE;
        self.marks.push(engraver.glyph_scaled(kind, glyph, x, y, NOTE_SCALE));
        self.width += bounds.width() * NOTE_SCALE;
    }

    /// Two beamed notes; `beams` and `dots` of each.
    fn pair(&mut self, engraver: &Engraver<'_>, beams: [usize; 2], dots: [u32; 2]) {
        let pitch = 1.5;
        let stems = [self.head(engraver, 0.0), self.head(engraver, pitch)];
        if dots[0] > 0 {
            self.dot(engraver, 0.0);
        }
        let defaults = engraver.fonts.music.defaults();
        let thick = defaults.beam_thickness * NOTE_SCALE;
        let step = thick + defaults.beam_spacing * NOTE_SCALE;
        for level in 0..beams[0].max(beams[1]) {
            let from = if beams[0] > level { stems[0].x0 } else { stems[1].x1 - 0.7 };
            let to = if beams[1] > level { stems[1].x1 } else { stems[0].x0 + 0.7 };
            let top = stems[0].y0 + level as f64 * step;
            let rect = Rect::new(from, top, to, top + thick);
            self.marks.push(Mark::new(Kind::Swing, Shape::Box(rect)));
        }
        self.advance(engraver, pitch);
    }

    /// A long and a short note of a triplet under a bracket with its 3.
    fn triplet_pair(&mut self, engraver: &Engraver<'_>, beams: usize) {
        let pitch = 1.7;
        let music = &engraver.fonts.music;
        let long = self.head(engraver, 0.0);
        let short = self.head(engraver, pitch);
        let flag = if beams > 1 { Glyph::FLAG_16TH_UP } else { Glyph::FLAG_8TH_UP };
        if beams > 1 {
            self.flag(engraver, &long, Glyph::FLAG_8TH_UP);
        }
        self.flag(engraver, &short, flag);
        let right = short.x1 + music.bounds(flag).x1 * NOTE_SCALE;
        let thickness = music.defaults().tuplet_bracket_thickness;
        let digit = Glyph::TUPLET_3;
        let scale = TRIPLET_DIGIT;
        let bounds = music.bounds(digit);
        let y = long.y0 - 0.9;
        let (left, middle) = (self.width, (self.width + right) / 2.0);
        let half = bounds.width() * scale / 2.0;
        for (x0, x1) in [(left, middle - half - 0.2), (middle + half + 0.2, right)] {
            let rect = Rect::new(x0, y - thickness / 2.0, x1, y + thickness / 2.0);
            self.marks.push(Mark::new(Kind::Swing, Shape::Box(rect)));
        }
        for x in [left, right - thickness] {
            let rect = Rect::new(x, y - thickness / 2.0, x + thickness, y + 0.45);
            self.marks.push(Mark::new(Kind::Swing, Shape::Box(rect)));
        }
        let origin = Point::new(
            middle - (bounds.x0 + bounds.x1) / 2.0 * scale,
            y - (bounds.y0 + bounds.y1) / 2.0 * scale,
        );
        self.marks.push(engraver.glyph_scaled(Kind::Swing, digit, origin.x, origin.y, scale));
        self.width = right;
    }

    /// A small head with its stem, the head's left edge at `dx` from here; the stem's box.
    fn head(&mut self, engraver: &Engraver<'_>, dx: f64) -> Rect {
        let music = &engraver.fonts.music;
        let glyph = Glyph::NOTEHEAD_BLACK;
        let bounds = music.bounds(glyph);
        let anchor = music.anchor(glyph, Anchor::StemUpSE).unwrap_or(Point::new(bounds.x1, 0.0));
        let y = -bounds.y1 * NOTE_SCALE;
        let x = self.width + dx - bounds.x0 * NOTE_SCALE;
        self.marks.push(engraver.glyph_scaled(Kind::Swing, glyph, x, y, NOTE_SCALE));
        let right = x + anchor.x * NOTE_SCALE;
        let thickness = music.defaults().stem_thickness * 0.8;
        let stem = Rect::new(right - thickness, y - STEM, right, y + anchor.y * NOTE_SCALE);
        self.marks.push(Mark::new(Kind::Swing, Shape::Box(stem)));
        stem
    }

    fn flag(&mut self, engraver: &Engraver<'_>, stem: &Rect, flag: Glyph) {
        self.marks.push(engraver.glyph_scaled(Kind::Swing, flag, stem.x0, stem.y0, NOTE_SCALE));
    }

    fn dot(&mut self, engraver: &Engraver<'_>, dx: f64) {
        let bounds = engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK);
        let x = self.width + dx + bounds.width() * NOTE_SCALE + 0.15;
        let y = -bounds.y1 * NOTE_SCALE;
        let dot = Glyph::AUGMENTATION_DOT;
        self.marks.push(engraver.glyph_scaled(Kind::Swing, dot, x, y, NOTE_SCALE));
    }

    fn advance(&mut self, engraver: &Engraver<'_>, pitch: f64) {
        self.width +=
            pitch + engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width() * NOTE_SCALE;
    }
}

/// A box around words, as an outline of four strokes.
pub fn frame(rect: Rect, thickness: f64) -> Vec<kurbo::BezPath> {
    let corners = [
        Point::new(rect.x0, rect.y0),
        Point::new(rect.x1, rect.y0),
        Point::new(rect.x1, rect.y1),
        Point::new(rect.x0, rect.y1),
    ];
    let half = thickness / 2.0;
    let grow = |from: Point, to: Point| {
        let along = (to - from).normalize() * half;
        curve::stroke(from - along, to + along, thickness)
    };
    (0..4).map(|i| grow(corners[i], corners[(i + 1) % 4])).collect()
}
