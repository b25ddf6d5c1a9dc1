//! The timeline of a block: every stroke with its onset and its end in exact musical time and in
//! seconds.

use super::loudness::Loudness;
use super::order::Played;
use super::pace::TempoStep;
use super::tempo::BarClock;
use crate::score::kit::{InstrumentId, Limb};
use crate::score::{Bar, Hand, Span, Time, Voice};
use smallvec::SmallVec;

/// Which voice of a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum VoiceName {
    /// Stems up.
    Upper,
    /// Stems down.
    Lower,
}

impl VoiceName {
    /// That voice of a bar.
    #[must_use]
    pub fn of(self, bar: &Bar) -> &Voice {
        match self {
            Self::Upper => &bar.upper,
            Self::Lower => &bar.lower,
        }
    }
}

/// A note as it stands on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NoteId {
    /// Its bar's index in the block.
    pub bar: usize,
    /// Its voice.
    pub voice: VoiceName,
    /// The hit's index in the voice.
    pub hit: usize,
}

/// What the hands or the feet play at one time.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// The note on the page.
    pub id: NoteId,
    /// The playing of its bar, by its index in the order.
    pub played: usize,
    /// Hands or feet.
    pub limb: Limb,
    /// The letter of its sticking.
    pub letter: Option<Hand>,
    /// Where that letter is written.
    pub letter_span: Option<Span>,
    /// What is struck, lowest staff position first.
    pub instruments: SmallVec<[InstrumentId; 2]>,
    /// Its onset from the start of the block as it is played.
    pub onset: Time,
    /// The same in seconds.
    pub seconds: f64,
    /// Grace notes before it.
    pub grace: u8,
    /// Slashes through its stem.
    pub slashes: u8,
    /// Its cell.
    pub span: Span,
}

/// What a stroke is to its note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StrokeKind {
    /// The note itself.
    Main,
    /// A grace note before it.
    Grace,
    /// A further stroke of its roll or diddle.
    Roll,
    /// The note itself, pressed into the head: many strokes that can't be counted.
    Buzz,
}

/// One stroke.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// Its note, by index.
    pub note: usize,
    /// What it is to its note.
    pub kind: StrokeKind,
    /// What is struck.
    pub instrument: InstrumentId,
    /// The limb.
    pub limb: Limb,
    /// The hand or foot, where it is known; both where both strike one instrument.
    pub hand: Option<Hand>,
    /// Its musical time from the start of the block as it is played. A grace note has that of the
    /// note it leads to.
    pub onset: Time,
    /// Where its written value ends.
    pub end: Time,
    /// Where onset and end lie as they sound, which differs where the music is swung. Counted as they
    /// are, and exact.
    pub sounds: (Time, Time),
    /// The second it sounds at: earlier than its musical time for a grace note, by the spread of
    /// its player for each that follows up to the note. Below zero for grace notes before the first beat.
    pub seconds: f64,
    /// The second its written value ends at.
    pub end_seconds: f64,
    /// How loud.
    pub loudness: Loudness,
    /// The instrument is choked when its value ends.
    pub choked: bool,
    /// The second it is silenced at, where it does not ring until it is still: choked, or an open hi-hat
    /// that the next stroke on it closes.
    pub silenced: Option<f64>,
    /// Its cell.
    pub span: Span,
}

/// What is played of a block.
#[derive(Clone, Debug, Default)]
pub struct Timeline {
    /// The bars in the order in which they are played.
    pub bars: Vec<Played>,
    /// The second each of these bars starts at.
    pub bar_seconds: Vec<f64>,
    /// Where each of them starts, in musical time from the start of what is played.
    pub bar_times: Vec<Time>,
    /// How each of them goes by.
    pub(super) clocks: Vec<BarClock>,
    /// The tempo in steps, by time, no two neighbours alike.
    pub tempo: Vec<TempoStep>,
    /// What hands and feet play, by time.
    pub notes: Vec<Note>,
    /// Every stroke, in the order in which they sound.
    pub strokes: Vec<Stroke>,
    /// How long it is.
    pub length: Time,
    /// The same in seconds.
    pub seconds: f64,
    /// Whether the block says its tempo; else seconds are those at 120 quarters a minute.
    pub tempo_known: bool,
}

impl Timeline {
    /// The second at which a written time of one of the bars that are played sounds; the bar is named by its
    /// index in the order of playing.
    #[must_use]
    pub fn second_in(&self, played: usize, at: Time) -> f64 {
        self.clocks.get(played).map_or(0.0, |clock| clock.at(at))
    }

    /// The second at which a musical time of what is played goes by, as it sounds.
    #[must_use]
    pub fn second_of(&self, at: Time) -> f64 {
        let next = self.tempo.partition_point(|step| step.at <= at);
        let step = self.tempo.get(next.saturating_sub(1));
        step.map_or(0.0, |step| step.seconds + step.whole * (at - step.at).as_f64())
    }
}
