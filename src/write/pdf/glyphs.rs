//! Glyphs as text operators show them, each by its number in the font file until it has its number in the document;
//! and these numbers, which are given in the order in which glyphs are first shown.

use super::face_key::FaceKey;
use super::object::code;

/// Glyphs of one face and baseline as an array of `TJ` holds them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct ShownGlyphs {
    /// Strings of glyphs by their numbers in the font file, and kerns between them.
    pub(super) array: Vec<u8>,
    /// How far they move the pen, in thousandths of the em.
    pub(super) advance: i64,
    /// Whether they are more than one string.
    pub(super) several: bool,
}

/// A glyph alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct ShownGlyph {
    array: [u8; 6],
    advance: i64,
}

/// Glyphs as they are about to be shown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shown<'a> {
    /// Of an array of `TJ`: strings, and kerns between them.
    pub(super) array: &'a [u8],
    /// How far they move the pen, in thousandths of the em.
    pub(super) advance: i64,
    /// Whether they are more than one string.
    pub(super) several: bool,
}

impl ShownGlyphs {
    /// They, lent.
    pub(super) fn shown(&self) -> Shown<'_> {
        Shown { array: &self.array, advance: self.advance, several: self.several }
    }
}

impl ShownGlyph {
    /// One of a face by its number in the font file, which moves the pen by thousandths of the em.
    pub(super) fn new(face: FaceKey, glyph: u16, advance: i64) -> Self {
        let [mark, key, high, low] = glyph_bytes(face, glyph);
        Self { array: [b'<', mark, key, high, low, b'>'], advance }
    }

    /// It, lent.
    pub(super) fn shown(&self) -> Shown<'_> {
        Shown { array: &self.array, advance: self.advance, several: false }
    }
}

/// What stands before a glyph of a font file in a content. Content is text, which has no such byte.
const MARK: u8 = 1;

/// The bytes of a glyph of a font file in a content, which are as many as it has in the document.
type GlyphBytes = [u8; 4];

/// Appends a glyph by its number in the font file.
pub(super) fn put_glyph(out: &mut Vec<u8>, face: FaceKey, glyph: u16) {
    out.extend_from_slice(&glyph_bytes(face, glyph));
}

fn glyph_bytes(face: FaceKey, glyph: u16) -> GlyphBytes {
    let [high, low] = glyph.to_be_bytes();
    [MARK, face.number(), high, low]
}

/// Where glyphs of font files stand in a content, with their face and their number.
fn each_glyph(content: &mut [u8], mut each: impl FnMut(&mut GlyphBytes, FaceKey, u16)) {
    let mut rest = content;
    // Most stand right after one another.
    let next = |rest: &[u8]| match rest.first() {
        Some(&MARK) => Some(0),
        _ => memchr::memchr(MARK, rest),
    };
    while let Some(at) = next(rest) {
        let Some((_, from)) = rest.split_at_mut_checked(at) else { return };
        let Some((bytes, after)) = from.split_first_chunk_mut() else { return };
        let [_, face, high, low] = *bytes;
        each(bytes, FaceKey::of_number(face), u16::from_be_bytes([high, low]));
        rest = after;
    }
}

/// The glyphs of font files that are shown, each with its number in the document.
#[derive(Debug, Default)]
pub(super) struct GlyphNumbers {
    /// In the order in which they are first shown. There are a handful.
    faces: Vec<(FaceKey, FaceNumbers)>,
}

/// The glyphs of a face.
#[derive(Debug, Default)]
struct FaceNumbers {
    /// By their numbers in the font file: those in the document.
    numbers: Vec<Option<u16>>,
    /// In the order of their numbers in the document.
    glyphs: Vec<u16>,
}

impl GlyphNumbers {
    /// Gives a glyph the next number of its face, where it has none. The empty box has zero, and all others follow from
    /// one, as the face has them that is cut down to them.
    pub(super) fn add(&mut self, face: FaceKey, glyph: u16) {
        let known = self.faces.iter().position(|(key, _)| *key == face);
        let at = known.unwrap_or_else(|| {
            self.faces.push((face, FaceNumbers::default()));
            self.faces.len() - 1
        });
        if let Some((_, of_face)) = self.faces.get_mut(at) {
            of_face.add(glyph);
        }
    }

    /// Adds the glyphs of others in their order.
    pub(super) fn add_all(&mut self, others: &Self) {
        for (face, of_face) in &others.faces {
            of_face.glyphs.iter().for_each(|glyph| self.add(*face, *glyph));
        }
    }

    /// Whether there are none.
    pub(super) fn is_empty(&self) -> bool {
        self.faces.is_empty()
    }

    /// The faces of which any glyph is shown, in the order of their own numbers.
    pub(super) fn faces(&self) -> Vec<FaceKey> {
        let mut faces: Vec<FaceKey> = self.faces.iter().map(|(face, _)| *face).collect();
        faces.sort_unstable();
        faces
    }

    /// The glyphs of a face, in the order of their numbers in the document.
    pub(super) fn glyphs(&self, face: FaceKey) -> &[u16] {
        self.of(face).map_or(&[], |of_face| &of_face.glyphs)
    }

    /// Writes the numbers of glyphs into a content, and gives back the glyphs that have none yet.
    pub(super) fn write_into(&self, content: &mut [u8]) -> Self {
        let mut unknown = Self::default();
        each_glyph(content, |place, face, glyph| {
            match self.of(face).and_then(|of_face| of_face.number(glyph)) {
                Some(number) => *place = code(number),
                None => unknown.add(face, glyph),
            }
        });
        unknown
    }

    fn of(&self, face: FaceKey) -> Option<&FaceNumbers> {
        self.faces.iter().find(|(key, _)| *key == face).map(|(_, of_face)| of_face)
    }
}

impl FaceNumbers {
    fn number(&self, glyph: u16) -> Option<u16> {
        self.numbers.get(usize::from(glyph)).copied().flatten()
    }

    fn add(&mut self, glyph: u16) {
        let at = usize::from(glyph);
        if self.numbers.len() <= at {
            self.numbers.resize(at + 1, None);
        }
        let others = self.glyphs.len() - usize::from(self.number(0).is_some());
        let Some(number) = self.numbers.get_mut(at).filter(|number| number.is_none()) else {
            return;
        };
        *number = match glyph {
            0 => Some(0),
            _ => u16::try_from(others + 1).ok(),
        };
        self.glyphs.push(glyph);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::font::FaceId;

    #[test]
    fn glyphs_are_numbered_in_the_order_in_which_they_come() {
        let mut numbers = GlyphNumbers::default();
        let faces = [FaceKey::Music, FaceKey::Text(FaceId(7)), FaceKey::Text(FaceId(0))];
        let shown: [&[u16]; 3] = [&[700, 3, u16::MAX, 3], &[64, 0, 63], &[1, 2, 1]];
        for (face, glyphs) in faces.iter().zip(shown) {
            glyphs.iter().for_each(|glyph| numbers.add(*face, *glyph));
        }
        assert_eq!(numbers.faces(), [faces[2], faces[1], faces[0]]);
        let of = |face| numbers.glyphs(face).to_vec();
        assert_eq!(faces.map(of), [vec![700, 3, u16::MAX], vec![64, 0, 63], vec![1, 2]]);
        assert_eq!(of(FaceKey::Text(FaceId(1))), Vec::<u16>::new());
        let mut remapper = subsetter::GlyphRemapper::new();
        for glyph in of(faces[1]) {
            let number = numbers.of(faces[1]).and_then(|of_face| of_face.number(glyph));
            assert_eq!(number, Some(remapper.remap(glyph)), "as the face has it that is cut down");
        }
    }

    #[test]
    fn glyphs_are_found_whatever_their_numbers_look_like() {
        let content = || {
            let mut content = b"BT[<".to_vec();
            let glyphs = [0x0101, 0x3C01, 0x0000, 0xFFFF];
            glyphs.iter().for_each(|glyph| put_glyph(&mut content, FaceKey::Music, *glyph));
            content.extend_from_slice(b">]TJ");
            content
        };
        let mut numbers = GlyphNumbers::default();
        numbers.add(FaceKey::Music, 0x3C01);
        let mut first = content();
        let unknown = numbers.write_into(&mut first);
        assert_eq!(unknown.glyphs(FaceKey::Music), [0x0101, 0x0000, 0xFFFF]);
        numbers.add_all(&unknown);
        assert!(numbers.write_into(&mut first).is_empty(), "those that were left out");
        assert_eq!(first, b"BT[<0002000100000003>]TJ");
        let mut cut_off = vec![MARK, 0, 0];
        assert!(numbers.write_into(&mut cut_off).is_empty(), "what is cut off is none");
    }
}
