//! A bar that knows its room before it has a place.

use super::gaps::Gap;
use super::line_start::LineStart;
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::barlines::final_extra;
use crate::engrave::measure::columns::Column;
use crate::engrave::measure::opening::BarOpening;
use crate::engrave::measure::voice::VoiceShape;
use crate::engrave::notate::shown::Shown;
use crate::engrave::place::FinalBarline;

/// A bar with its shapes and the room it wants.
#[derive(Clone, Debug)]
pub struct SpacedBar {
    /// Upper voice, then lower.
    pub voices: [VoiceShape; 2],
    /// Small notes over it.
    pub small: Option<Box<[VoiceShape; 2]>>,
    /// What further players have in it.
    pub others: Vec<OtherStaff>,
    /// Its columns by time; at least one.
    pub columns: Vec<Column>,
    /// The room after each column.
    pub gaps: Vec<Gap>,
    /// Room before the first column's centre, for what a bar begins with.
    pub lead: f64,
    /// What is printed before its first note.
    pub opening: BarOpening,
    /// Width of its closing barline.
    pub closing: f64,
    /// How it is printed.
    pub shown: Shown,
    /// What matters where a line begins with it.
    pub line_start: LineStart,
}

/// A bar of one of several players but the first, in the room that all share.
#[derive(Clone, Debug)]
pub struct OtherStaff {
    /// Upper voice, then lower.
    pub voices: [VoiceShape; 2],
    /// Small notes over it.
    pub small: Option<Box<[VoiceShape; 2]>>,
    /// How it is printed.
    pub shown: Shown,
}

impl SpacedBar {
    /// The bar of a player of an index, the first of whom is zero.
    pub fn of_player(&self, index: usize) -> Self {
        let mut own = Self { others: Vec::new(), ..self.clone() };
        if let Some(other) = index.checked_sub(1).and_then(|index| self.others.get(index)) {
            own.voices = other.voices.clone();
            own.small.clone_from(&other.small);
            own.shown = other.shown;
        }
        own
    }

    /// Width at which every gap has its ideal.
    pub fn ideal(&self) -> f64 {
        self.width(1.0, false)
    }

    /// Makes room for the final barline where the bar is the block's last and ends plainly.
    pub fn close_block(&mut self, engraver: &Engraver<'_>, end: FinalBarline) {
        let d = engraver.fonts.music.defaults();
        if self.closing <= d.thin_barline_thickness {
            self.closing += final_extra(engraver, end);
        }
    }

    /// Width with every gap scaled by `factor` but never under its least.
    pub fn width(&self, factor: f64, tight: bool) -> f64 {
        self.lead + self.closing + self.gaps.iter().map(|g| g.width(factor, tight)).sum::<f64>()
    }
}
