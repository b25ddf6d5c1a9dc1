//! The room of a bar that is printed as a sign: that of the sign and no more.

use super::bar::SpacedBar;
use super::gaps::Gap;
use super::hairpin_rods;
use super::line_start::LineStart;
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::barlines::closing_width;
use crate::engrave::measure::columns::Column;
use crate::engrave::measure::opening::{BarOpening, opening_width};
use crate::engrave::measure::voice::VoiceShape;
use crate::engrave::notate::shown::Shown;
use crate::score::{Again, Bar, Time};

/// Room for the sign of a repeated bar, on each side of its middle (no source).
const REPEAT_SIGN_ROOM: f64 = 4.0;
/// Room for one bar of a sign that stands for several, on each side of its middle (no source).
const SEVERAL_ROOM: f64 = 2.6;
/// The least and the ideal width of a rest of several bars (no source).
const REST_WIDTH: (f64, f64) = (7.0, 11.0);

/// A bar that is printed as a sign.
pub struct SignBar<'a> {
    /// The engraver.
    pub engraver: &'a Engraver<'a>,
    /// The bar.
    pub bar: &'a Bar,
    /// What is printed before the sign.
    pub opening: BarOpening,
    /// How it is printed.
    pub shown: Shown,
}

impl SignBar<'_> {
    /// The room of a bar of a repeat sign.
    pub fn repeat(&self, again: Again, voices: [VoiceShape; 2]) -> SpacedBar {
        let room = if again.bars == 1 { REPEAT_SIGN_ROOM } else { SEVERAL_ROOM };
        // What is said of its beats stands over and under the whole of it.
        let before = self.engraver.style.after_barline.min(room);
        let mut spaced = self.spaced(voices, before, Gap::fixed(2.0 * room - before));
        hairpin_rods::make_room(self.engraver, self.bar, &spaced.columns, &mut spaced.gaps);
        spaced.gaps.iter_mut().for_each(|gap| gap.ink = gap.min);
        spaced
    }

    /// The room of a bar of a rest: all its width lies in the first of them.
    pub fn rest(&self, voices: [VoiceShape; 2]) -> SpacedBar {
        let (least, ideal) = REST_WIDTH;
        let gap = match self.shown.goes_on() {
            true => Gap::fixed(0.0),
            false => Gap { ideal, min: least, ink: least },
        };
        self.spaced(voices, 0.0, gap)
    }

    fn spaced(&self, voices: [VoiceShape; 2], before: f64, gap: Gap) -> SpacedBar {
        let closing = match self.shown.has_barline() {
            true => closing_width(self.engraver, self.bar.closing),
            false => 0.0,
        };
        SpacedBar {
            voices,
            small: None,
            others: Vec::new(),
            columns: vec![Column { at: Time::ZERO, left: 0.0, right: 0.0 }],
            gaps: vec![gap],
            lead: opening_width(self.engraver, &self.bar.meter, self.opening) + before,
            opening: self.opening,
            closing,
            shown: self.shown,
            line_start: LineStart::default(),
        }
    }
}
