//! Glyphs given the numbers they have in the document, once its faces are cut down.

use super::faces::Faces;
use super::glyphs::each_glyph;
use super::object::code;
use super::page_content::PageContent;

/// The bytes of a content with glyphs under their numbers in the document's faces.
pub(super) fn numbered(content: PageContent, faces: &Faces) -> Vec<u8> {
    let PageContent(mut bytes) = content;
    each_glyph(&mut bytes, |place, face, glyph| {
        place.copy_from_slice(&code(faces.code(face, glyph)));
    });
    bytes
}
