//! Dynamics, and what stands over the staff.

use super::settings::{Swing, Tempo};
use super::{Span, Time};

/// A dynamic or the start of a hairpin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dynamic {
    /// When.
    pub at: Time,
    /// Which.
    pub kind: DynamicKind,
    /// Where it is written.
    pub span: Span,
}

/// Dynamics.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DynamicKind {
    /// Letters of `p m f r s z n`, as `mf`.
    Letters(String),
    /// A hairpin that opens, up to the next dynamic or `!`.
    Louder,
    /// A hairpin that closes.
    Softer,
    /// The end of a hairpin where no dynamic follows (`!`).
    End,
}

/// Something over the staff.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// When.
    pub at: Time,
    /// What.
    pub kind: MarkKind,
    /// Where it is written.
    pub span: Span,
}

/// What can stand over the staff.
#[derive(Clone, Debug, PartialEq)]
pub enum MarkKind {
    /// A section letter in a box.
    Section(String),
    /// An ending: the passes it is played on, as `1` or `1, 2`. It reaches to the next ending or to
    /// the repeat or double line that closes it.
    Ending(String),
    /// Segno.
    Segno,
    /// Coda.
    Coda,
    /// `Fine`, `D.C.`, `D.S.` and their kin, set at the right end of the bar.
    Direction(String),
    /// A new tempo.
    Tempo(Tempo),
    /// A new feel.
    Swing(Swing),
    /// Straight again.
    Straight,
    /// A fermata over the note.
    Fermata,
    /// Words.
    Words(String),
    /// A line of music begins with the bar.
    NewLine {
        /// Asked for; else no more than a good place.
        asked: bool,
    },
    /// A breath at the end of the beat.
    Breath,
    /// A break in time at the end of the beat.
    Caesura,
    /// A metric modulation: what was the one note value is now as long as the other.
    Modulation {
        /// The value before.
        was: Time,
        /// The value from here on.
        now: Time,
    },
}
