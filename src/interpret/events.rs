//! What the cells of a row say: hits, holds and silences in time.

use crate::score::kit::{InstrumentId, Limb};
use crate::score::{Accent, Grace, Time, Touch};
use crate::source::Span;
use smallvec::SmallVec;

/// What happens at an event.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Act {
    Silence,
    /// The hit before goes on.
    Hold,
    /// The same, tied into the next hit.
    Tie,
    /// A hit.
    Hit(CellHit),
}

/// One instrument of a hit, with the limb that plays it here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct LimbStrike {
    pub(crate) instrument: InstrumentId,
    pub(crate) limb: Limb,
    pub(crate) accent: Accent,
    pub(crate) ghost: bool,
    pub(crate) choked: bool,
}

/// What a hit of one row strikes: mostly one thing or two, which are held without a list of their own.
pub(crate) type LimbStrikes = SmallVec<[LimbStrike; 2]>;

/// A hit of one row; a beat slash where it strikes nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct CellHit {
    pub(crate) strikes: LimbStrikes,
    pub(crate) grace: Grace,
    pub(crate) strokes: u8,
    pub(crate) buzz: bool,
    pub(crate) touch: Touch,
}

impl CellHit {
    /// Whether it is more than one stroke: a diddle, a roll, a buzz.
    pub(crate) fn is_roll(&self) -> bool {
        self.strokes > 0 || self.buzz || self.touch.roll.is_some()
    }
}

/// A cell with its time in the bar.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Event {
    pub(crate) at: Time,
    pub(crate) end: Time,
    /// When a hit ends that lasts longer than its cell though nothing holds it, as in a group over
    /// several beats.
    pub(crate) lasts: Option<Time>,
    pub(crate) act: Act,
    pub(crate) span: Span,
}
