//! Swing equations: two even notes on the left, what they sound like on the right.

use super::inscription::{Inscription, NOTE_SCALE, TRIPLET_DIGIT};
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::glyphs::flag_glyph;
use crate::engrave::notate::value::Value;
use crate::engrave::staff::Stems;
use crate::font::{Anchor, FaceStyle, Glyph};
use crate::score::Time;
use crate::score::settings::Swing;
use kurbo::{Point, Rect};

/// Stems of the small beamed notes of an equation, in staff spaces (no source).
const STEM: f64 = 2.0;
/// Thickness of their stems, as a factor on that of others (no source).
const THIN: f64 = 0.8;
/// Distance of two beamed notes, and of the notes of a triplet (no source).
const PITCH: (f64, f64) = (1.5, 1.7);
/// Length of a beamlet (no source).
const BEAMLET: f64 = 0.7;
/// On each side of an equals sign (no source).
const EQUALS_ROOM: f64 = 0.6;
/// From a head to its dot (no source).
const DOT_ROOM: f64 = 0.15;
/// From a stem's end to the bracket over it (no source).
const BRACKET_LIFT: f64 = 0.9;
/// Length of the bracket's hooks (no source).
const HOOK: f64 = 0.45;
/// On each side of the bracket's number (no source).
const DIGIT_ROOM: f64 = 0.2;

impl Inscription {
    /// A swing equation: two even notes on the left, what they sound like on the right.
    pub fn swing(engraver: &Engraver<'_>, swing: &Swing) -> Self {
        let mut inscription = Self::default();
        let beams = Value::exactly(swing.unit).map_or(1, Value::flags).max(1);
        inscription.pair(engraver, [beams, beams], [0, 0]);
        inscription.width += EQUALS_ROOM;
        inscription.text(engraver, Kind::Swing, "=", FaceStyle::Regular);
        inscription.width += EQUALS_ROOM;
        match (swing.long, swing.short) {
            (3, 1) => inscription.pair(engraver, [beams, beams + 1], [1, 0]),
            (long, short) => match tuplet(swing) {
                Some(values) => inscription.tuplet_pair(engraver, values, long + short),
                // What notes can't say is said in parts of both.
                None => inscription.text(
                    engraver,
                    Kind::Swing,
                    &format!("{long} + {short}"),
                    FaceStyle::Regular,
                ),
            },
        }
        inscription
    }

    /// Two beamed notes; `beams` and `dots` of each.
    fn pair(&mut self, engraver: &Engraver<'_>, beams: [usize; 2], dots: [u32; 2]) {
        let pitch = PITCH.0;
        let stems = [self.head(engraver, 0.0), self.head(engraver, pitch)];
        if dots[0] > 0 {
            self.dot(engraver, 0.0);
        }
        let defaults = engraver.fonts.music.defaults();
        let thick = defaults.beam_thickness * NOTE_SCALE;
        let step = thick + defaults.beam_spacing * NOTE_SCALE;
        for level in 0..beams[0].max(beams[1]) {
            let from = if beams[0] > level { stems[0].x0 } else { stems[1].x1 - BEAMLET };
            let to = if beams[1] > level { stems[1].x1 } else { stems[0].x0 + BEAMLET };
            let top = stems[0].y0 + level as f64 * step;
            let rect = Rect::new(from, top, to, top + thick);
            self.marks.push(Mark::new(Kind::Swing, Shape::Box(rect)));
        }
        self.advance(engraver, pitch);
    }

    /// A long and a short note of a tuplet under a bracket with its number.
    fn tuplet_pair(&mut self, engraver: &Engraver<'_>, values: [Value; 2], number: u32) {
        let mut pitch = PITCH.1;
        if values[0].dots > 0 || values[0].flags() > 0 {
            pitch += BEAMLET;
        }
        let mut right = 0.0_f64;
        let mut top = 0.0_f64;
        for (value, dx) in values.into_iter().zip([0.0, pitch]) {
            let stem = self.head(engraver, dx);
            (right, top) = (right.max(stem.x1), top.min(stem.y0));
            if let Some((flag, _)) = flag_glyph(value, Stems::Up) {
                self.flag(engraver, &stem, flag);
                right = stem.x1 + engraver.fonts.music.bounds(flag).x1 * NOTE_SCALE;
            }
            if value.dots > 0 {
                self.dot(engraver, dx);
            }
        }
        self.tuplet_bracket(engraver, right, top - BRACKET_LIFT, number);
        self.width = right;
    }

    /// A bracket with its number from here to an x, the middle of its line at a y.
    fn tuplet_bracket(&mut self, engraver: &Engraver<'_>, right: f64, y: f64, number: u32) {
        let music = &engraver.fonts.music;
        let thickness = music.defaults().tuplet_bracket_thickness;
        let (digit, scale) = (Glyph::tuplet_digit(number), TRIPLET_DIGIT);
        let bounds = music.bounds(digit);
        let (left, middle) = (self.width, (self.width + right) / 2.0);
        let half = bounds.width() * scale / 2.0;
        let mut add = |rect| self.marks.push(Mark::new(Kind::Swing, Shape::Box(rect)));
        for (x0, x1) in [(left, middle - half - DIGIT_ROOM), (middle + half + DIGIT_ROOM, right)] {
            add(Rect::new(x0, y - thickness / 2.0, x1, y + thickness / 2.0));
        }
        for x in [left, right - thickness] {
            add(Rect::new(x, y - thickness / 2.0, x + thickness, y + HOOK));
        }
        let digit_x = middle - (bounds.x0 + bounds.x1) / 2.0 * scale;
        let digit_y = y - (bounds.y0 + bounds.y1) / 2.0 * scale;
        self.marks.push(engraver.glyph_scaled(Kind::Swing, digit, digit_x, digit_y, scale));
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
        let thickness = music.defaults().stem_thickness * THIN;
        let stem = Rect::new(right - thickness, y - STEM, right, y + anchor.y * NOTE_SCALE);
        self.marks.push(Mark::new(Kind::Swing, Shape::Box(stem)));
        stem
    }

    fn flag(&mut self, engraver: &Engraver<'_>, stem: &Rect, flag: Glyph) {
        self.marks.push(engraver.glyph_scaled(Kind::Swing, flag, stem.x0, stem.y0, NOTE_SCALE));
    }

    fn dot(&mut self, engraver: &Engraver<'_>, dx: f64) {
        let bounds = engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK);
        let x = self.width + dx + bounds.width() * NOTE_SCALE + DOT_ROOM;
        let y = -bounds.y1 * NOTE_SCALE;
        let dot = Glyph::AUGMENTATION_DOT;
        self.marks.push(engraver.glyph_scaled(Kind::Swing, dot, x, y, NOTE_SCALE));
    }

    fn advance(&mut self, engraver: &Engraver<'_>, pitch: f64) {
        self.width +=
            pitch + engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width() * NOTE_SCALE;
    }
}

/// The two notes of a swing as those of a tuplet in the time of both: as many of its notes as the first
/// and the second last in parts. Nothing where no such notes are written.
fn tuplet(swing: &Swing) -> Option<[Value; 2]> {
    let parts = swing.long.checked_add(swing.short).filter(|parts| *parts < 10)?;
    // The shortest notes are as many as fit into the time of both, or the next fewer power of two.
    let unit = swing.unit * 2 / (1i64 << parts.checked_ilog2()?);
    let value = |count: u32| {
        Value::exactly(unit * i64::from(count)).filter(|v| v.time() < Time::QUARTER * 2)
    };
    (!parts.is_power_of_two()).then_some([value(swing.long)?, value(swing.short)?])
}
