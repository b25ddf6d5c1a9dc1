//! Written notes and rests, and the tuplets over them.

use super::value::Value;
use crate::score::Time;
use crate::score::division::Across;

/// A written note or rest.
#[derive(Clone, Debug, PartialEq)]
pub struct WrittenEvent {
    /// When it begins, in the bar.
    pub at: Time,
    /// How long it really lasts.
    pub length: Time,
    /// Its written value.
    pub value: Value,
    /// What it is.
    pub kind: EventKind,
}

/// What an event is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventKind {
    /// A note or chord.
    Chord {
        /// The hit's index in its voice.
        hit: usize,
        /// Not struck: tied from the event before.
        continued: bool,
        /// Tied to the next event.
        tied: bool,
    },
    /// A rest.
    Rest,
    /// A rest for the whole bar.
    BarRest,
}

/// Notes that share a stretch of time in a number of parts it has no plain value for.
#[derive(Clone, Debug, PartialEq)]
pub struct Tuplet {
    /// Its start.
    pub start: Time,
    /// Its end.
    pub end: Time,
    /// Written notes.
    pub number: u32,
    /// Plain notes they stand for.
    pub normal: u32,
    /// Both are printed, since the number alone would not tell.
    pub ratio: bool,
    /// 0 for an outer one, 1 for one inside it.
    pub level: usize,
    /// It goes on over a barline.
    pub across: Option<Across>,
}

/// A voice of a bar, written.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WrittenRhythm {
    /// Notes and rests in order.
    pub events: Vec<WrittenEvent>,
    /// Tuplets, outer before inner.
    pub tuplets: Vec<Tuplet>,
}

impl WrittenEvent {
    /// Whether any of its time falls into that of another.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.at < other.at + other.length && self.at + self.length > other.at
    }
}
