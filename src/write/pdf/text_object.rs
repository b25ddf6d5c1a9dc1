//! What of a text object is still open.

use super::operand::Hundredths;

/// An open text object.
#[derive(Default)]
pub(super) struct TextObject {
    /// The start of the last line, from which `Td` counts.
    pub(super) line: (Hundredths, Hundredths),
    pub(super) array: Option<OpenArray>,
}

/// An open array of `TJ`.
pub(super) struct OpenArray {
    /// Where its bracket stands.
    pub(super) start: usize,
    /// Whether it holds more than one string.
    pub(super) several: bool,
    /// How far the pen stands from the start of the line, in thousandths of the em.
    pub(super) pen: i64,
}
