//! Glyphs as text operators show them, and where in a content their numbers stand.

use super::face_key::FaceKey;

/// Glyphs of one face and baseline as an array of `TJ` holds them, each by its number in the font file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct ShownGlyphs {
    /// Strings, and kerns between them.
    pub(super) array: Vec<u8>,
    /// The bytes of the array at which the numbers stand, each of four digits.
    pub(super) numbers: Vec<u32>,
    /// How far they move the pen, in thousandths of the em.
    pub(super) advance: i64,
    /// Whether they are more than one string.
    pub(super) several: bool,
}

/// A number of a glyph in a content: where its four digits stand, and its face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct GlyphNumber {
    pub(super) at: u32,
    pub(super) face: FaceKey,
}
