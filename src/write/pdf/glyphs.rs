//! Glyphs as text operators show them, each by its number in the font file until it is known what number it has
//! in the document; and which of them are shown.

use super::face_key::FaceKey;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};

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

/// What stands before a glyph of a font file in a content. Content is text, which has no such byte.
const MARK: u8 = 1;

/// The bytes of a glyph of a font file in a content, which are as many as it has in the document.
pub(super) type GlyphBytes = [u8; 4];

/// Appends a glyph by its number in the font file.
pub(super) fn put_glyph(out: &mut Vec<u8>, face: FaceKey, glyph: u16) {
    let [high, low] = glyph.to_be_bytes();
    out.extend_from_slice(&[MARK, face.number(), high, low]);
}

/// Where glyphs of font files stand in a content, with their face and their number.
pub(super) fn each_glyph(content: &mut [u8], mut each: impl FnMut(&mut GlyphBytes, FaceKey, u16)) {
    let mut rest = content;
    while let Some(at) = rest.iter().position(|byte| *byte == MARK) {
        let Some((_, from)) = rest.split_at_mut_checked(at) else { return };
        let Some((bytes, after)) = from.split_first_chunk_mut() else { return };
        let [_, face, high, low] = *bytes;
        each(bytes, FaceKey::of_number(face), u16::from_be_bytes([high, low]));
        rest = after;
    }
}

/// One of all the glyphs of a face, by 64.
type Bits = [AtomicU64; 1 << 10];

/// Glyphs of font files that are shown, noted on many processors at once.
pub(super) struct GlyphSet {
    /// By the numbers of faces.
    faces: [OnceLock<Box<Bits>>; 1 << 8],
}

impl Default for GlyphSet {
    fn default() -> Self {
        Self { faces: [const { OnceLock::new() }; _] }
    }
}

impl GlyphSet {
    /// Adds a glyph.
    pub(super) fn add(&self, face: FaceKey, glyph: u16) {
        let Some(bits) = self.faces.get(usize::from(face.number())) else { return };
        let bits = bits.get_or_init(|| Box::new([const { AtomicU64::new(0) }; _]));
        let Some(word) = bits.get(usize::from(glyph >> 6)) else { return };
        let bit = 1 << (glyph & 63);
        // Most are known, and are only looked at.
        if word.load(Ordering::Relaxed) & bit == 0 {
            word.fetch_or(bit, Ordering::Relaxed);
        }
    }

    /// The faces of which any glyph is shown.
    pub(super) fn faces(&self) -> impl Iterator<Item = FaceKey> {
        let number = |at: usize| u8::try_from(at).ok().map(FaceKey::of_number);
        let shown = self.faces.iter().enumerate().filter(|(_, bits)| bits.get().is_some());
        shown.filter_map(move |(at, _)| number(at))
    }

    /// The glyphs of a face, in their order.
    pub(super) fn glyphs(&self, face: FaceKey) -> impl Iterator<Item = u16> {
        let bits = self.faces.get(usize::from(face.number())).and_then(OnceLock::get);
        let words = bits.into_iter().flat_map(|bits| bits.iter().enumerate());
        words.flat_map(|(at, word)| {
            let word = word.load(Ordering::Relaxed);
            let bits = (0..64_u16).filter(move |bit| word >> bit & 1 == 1);
            bits.filter_map(move |bit| Some(u16::try_from(at).ok()? << 6 | bit))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::font::FaceId;

    #[test]
    fn glyphs_come_back_in_order_by_face() {
        let set = GlyphSet::default();
        let faces = [FaceKey::Text(FaceId(0)), FaceKey::Text(FaceId(7)), FaceKey::Music];
        for (face, glyphs) in faces.iter().zip([[700, 3, u16::MAX], [0, 63, 64], [1, 2, 1]]) {
            glyphs.iter().for_each(|glyph| set.add(*face, *glyph));
        }
        assert_eq!(set.faces().collect::<Vec<_>>(), faces);
        let of = |face| set.glyphs(face).collect::<Vec<_>>();
        assert_eq!(faces.map(of), [vec![3, 700, u16::MAX], vec![0, 63, 64], vec![1, 2]]);
        assert_eq!(of(FaceKey::Text(FaceId(1))), Vec::<u16>::new());
    }

    #[test]
    fn glyphs_are_found_whatever_their_numbers_look_like() {
        let mut content = b"BT[<".to_vec();
        let glyphs = [0x0101, 0x3C01, 0x0000, 0xFFFF];
        glyphs.iter().for_each(|glyph| put_glyph(&mut content, FaceKey::Music, *glyph));
        content.extend_from_slice(b">]TJ");
        // What is cut off is none.
        content.extend_from_slice(&[MARK, 0, 0]);
        let mut found = Vec::new();
        each_glyph(&mut content, |_, face, glyph| found.push((face, glyph)));
        assert_eq!(found, glyphs.map(|glyph| (FaceKey::Music, glyph)));
    }
}
