//! Beats as counting names them.

use crate::score::Time;

/// A stretch of the bar that a number names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Beat {
    /// Its start from the start of the meter.
    pub start: Time,
    /// How long it is.
    pub length: Time,
    /// What it is called.
    pub number: u32,
    /// Whether it divides in three.
    pub dotted: bool,
}

impl Beat {
    /// Where it ends.
    pub fn end(&self) -> Time {
        self.start + self.length
    }
}
