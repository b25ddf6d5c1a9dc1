//! Glyphs given the numbers they have in the document, once its faces are cut down.

use super::faces::Faces;
use super::object::put_code;
use super::page_content::PageContent;

/// The bytes of a content with glyphs under their numbers in the document's faces.
pub(super) fn numbered(content: PageContent, faces: &Faces) -> Vec<u8> {
    let mut bytes = content.bytes;
    let mut code = Vec::with_capacity(4);
    for number in &content.numbers {
        let at = number.at as usize;
        let Some(digits) = bytes.get_mut(at..at + 4) else { continue };
        let glyph = digits.iter().fold(0_u16, |glyph, digit| glyph << 4 | value(*digit));
        code.clear();
        put_code(&mut code, faces.code(number.face, glyph));
        digits.copy_from_slice(&code);
    }
    bytes
}

/// The value of a hexadecimal digit.
fn value(digit: u8) -> u16 {
    u16::from(if digit <= b'9' { digit.wrapping_sub(b'0') } else { digit.wrapping_sub(b'A' - 10) })
}
