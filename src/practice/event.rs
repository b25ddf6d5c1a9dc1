//! What is heard at a moment.

use super::bend::Bend;
use crate::perform::{Loudness, NoteId, StrokeKind};
use crate::score::kit::{InstrumentId, Opening, StemSign};
use crate::score::{Hand, Time};
use crate::sound::ClickKind;

/// A sound at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Event {
    /// The second it begins at, from the start of all that is heard; never below zero.
    pub seconds: f64,
    /// What sounds.
    pub sound: Sound,
}

/// What sounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sound {
    /// A stroke.
    Stroke {
        /// What is struck, in its player's kit.
        instrument: InstrumentId,
        /// General MIDI percussion key, 27 to 87.
        key: u8,
        /// How open a hi-hat is, where that is said.
        opening: Option<Opening>,
        /// How it is struck, where that is said.
        sign: Option<StemSign>,
        /// What it is to its note.
        kind: StrokeKind,
        /// How loud.
        loudness: Loudness,
        /// The hand or foot, where it is known.
        hand: Option<Hand>,
        /// How many seconds it comes before the note it leads to, however fast that is played; zero but for
        /// grace notes.
        early: f64,
        /// Its musical time from the start of its block as it is played, as it sounds; of a grace note that
        /// of its note.
        time: Time,
        /// The second its written value ends at.
        end: f64,
        /// The second it is silenced at, where it does not ring until it is still.
        silenced: Option<f64>,
        /// Where it is written.
        origin: StrokeOrigin,
    },
    /// A click.
    Click(ClickKind),
}

/// Where a stroke is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StrokeOrigin {
    /// The pass it belongs to, by its index in the plan.
    pub pass: usize,
    /// Its player, by index.
    pub player: usize,
    /// Its note on the page.
    pub note: NoteId,
    /// The playing of its bar, by its index in the order of the block.
    pub played: usize,
    /// The stroke, by its index in its player's timeline.
    pub stroke: usize,
}

impl Event {
    /// The same at the second where it falls in a recording.
    pub(super) fn along(mut self, bend: &Bend) -> Self {
        self.seconds = bend.second(self.seconds);
        match &mut self.sound {
            Sound::Stroke { end, silenced, .. } => {
                *end = bend.second(*end);
                *silenced = silenced.map(|end| bend.second(end));
            }
            Sound::Click(_) => {}
        }
        self
    }
}
