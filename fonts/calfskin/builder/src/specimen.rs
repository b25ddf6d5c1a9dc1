//! The specimen sheet.

use crate::source::Glyph;

pub(crate) fn write(_glyphs: &[Glyph]) -> String {
    String::new()
}
