//! The line that says what a series goes through.

use crate::score::Hand;
use crate::score::kit::InstrumentId;
use crate::syntax::values::subdivision::Subdivision;

/// What a series goes through.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Rule {
    /// Accents on some of the notes of some groups.
    Accents {
        /// How many accents.
        count: usize,
        /// The cells of each group: an instrument, or silence.
        groups: Vec<Vec<Option<InstrumentId>>>,
    },
    /// Notes in some of the cells of a beat or of several.
    Notes(Notes),
    /// Hands of a row of notes.
    Stickings(Hands),
}

/// Notes in some of some cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Notes {
    /// How many notes.
    pub(crate) count: usize,
    /// How many cells.
    pub(crate) cells: usize,
    /// What is struck.
    pub(crate) instruments: Vec<InstrumentId>,
    /// Cells of a beat.
    pub(crate) parts: usize,
    /// The subdivision that is named.
    pub(crate) named: Option<Subdivision>,
}

/// Hands of a row of notes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Hands {
    /// How many notes.
    pub(crate) notes: usize,
    /// The hand that begins.
    pub(crate) lead: Hand,
    /// Most strokes of one hand in a row.
    pub(crate) run: usize,
    /// Notes of a beat.
    pub(crate) parts: usize,
    /// The subdivision that is named.
    pub(crate) named: Option<Subdivision>,
}

/// The order of a series.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Order {
    /// The earliest places first.
    #[default]
    Written,
    /// Each differs from the one before by one move.
    Neighbours,
    /// The easiest first.
    Easy,
}
