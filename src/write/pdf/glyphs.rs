//! ShownGlyphs as text operators show them.

/// ShownGlyphs of one baseline as an array of `TJ` holds them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct ShownGlyphs {
    /// Strings, and kerns between them.
    pub(super) array: Vec<u8>,
    /// How far they move the pen, in thousandths of the em.
    pub(super) advance: i64,
    /// Whether they are more than one string.
    pub(super) several: bool,
}
