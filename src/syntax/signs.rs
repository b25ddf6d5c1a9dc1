//! The tree of what parts bars, and of what says how long a group of cells or a word is.

use crate::score::division::BarlineSide;
use crate::source::Span;

/// Bars played again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SameBar {
    /// How many: 1, 2 or 4.
    pub bars: u8,
    /// Where it is written.
    pub span: Span,
}

/// Signs that separate bars.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BarSign {
    /// `|`
    Single,
    /// `||`
    Double,
    /// `|:`
    RepeatStart,
    /// `:|`, with how often the passage is played in all (2 unless `x4` says otherwise).
    RepeatEnd {
        /// Times played, at least 1.
        times: u32,
        /// Whether the number was written.
        counted: bool,
    },
    /// `:|:`, an end and a start in one.
    RepeatBoth {
        /// Times played, at least 1.
        times: u32,
        /// Whether the number was written.
        counted: bool,
    },
}

/// How many beats a group is spread over (`:2`, `:1/2`); one where nothing is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// Beats.
    pub beats: u32,
    /// Divided by this.
    pub divided_by: u32,
}

/// One of the two parts of a group over a barline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AcrossPart {
    /// Which.
    pub side: BarlineSide,
    /// Cells before the barline.
    pub before: usize,
    /// Cells after it.
    pub after: usize,
    /// How many beats of both bars the whole group takes.
    pub spread: Spread,
    /// The whole group with its barline.
    pub whole: Span,
}
