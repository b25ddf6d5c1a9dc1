//! Bars whose rows are not yet voices.

use crate::interpret::counting::Counter;
use crate::interpret::divisions::DividedSpan;
use crate::interpret::place::CellHit;
use crate::score::meter::Meter;
use crate::score::{Again, Closing, Syllable, Time};
use crate::source::Span;
use std::sync::Arc;

/// How a hit leads on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Tie {
    #[default]
    None,
    /// It goes on over the barline.
    Held,
    /// It is tied into the next hit.
    Tied,
}

/// A hit of one row with its length.
#[derive(Clone, Debug)]
pub(crate) struct RowHit {
    pub(crate) at: Time,
    pub(crate) until: Option<Time>,
    /// That end is written (`-`, `_`), and is not to be cut short without a word.
    pub(crate) held: bool,
    pub(crate) tie: Tie,
    pub(crate) continued: bool,
    pub(crate) cell: CellHit,
    pub(crate) span: Span,
}

/// One row in one bar.
#[derive(Clone, Debug)]
pub(crate) struct RowDraft {
    pub(crate) name: String,
    pub(crate) hits: Vec<RowHit>,
    pub(crate) stretches: Vec<DividedSpan>,
}

/// A bar whose rows are not yet voices.
#[derive(Clone, Debug)]
pub(crate) struct BarDraft {
    pub(crate) meter: Arc<Meter>,
    pub(crate) counter: Arc<Counter>,
    /// The groups under one beam from the start of the meter, where a key says them.
    pub(crate) beams: Option<Arc<[Time]>>,
    pub(crate) offset: Time,
    pub(crate) length: Time,
    pub(crate) rows: Vec<RowDraft>,
    pub(crate) closing: Closing,
    pub(crate) repeat_start: bool,
    pub(crate) again: Option<Again>,
    /// Every silence in it is shown (`rests: full`).
    pub(crate) full_rests: bool,
    /// Words of the count row that are printed as written.
    pub(crate) written: Vec<Syllable>,
    /// Something in it could not be understood, so that letters and words placed to its hits are
    /// not counted.
    pub(crate) broken: bool,
    pub(crate) span: Span,
}

/// Where in the meter a bar starts, and how long it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct BarExtent {
    pub(crate) offset: Time,
    pub(crate) length: Time,
}

impl BarExtent {
    /// Where it ends, counted from the start of the meter.
    pub(crate) fn end(self) -> Time {
        self.offset + self.length
    }
}

impl BarDraft {
    /// The point of time before which the bar ends, counted from the start of the meter.
    pub(crate) fn end(&self) -> Time {
        self.offset + self.length
    }
}
