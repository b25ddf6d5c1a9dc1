//! Glyphs made of glyphs, in fonts from elsewhere: that none of them unfolds to more than a page could show.
//! Glyphs that call subroutines: `subroutines.rs`. The tables are those of the Open Font Format (ISO/IEC 14496-22, `glyf` and `loca`), from memory.

use super::error::FontError;
use super::subroutines;
use ttf_parser::{Face, Tag};

/// Most points of a glyph with all its parts. The richest letters have some thousands. Common practice,
/// no source.
const MOST_POINTS: u64 = 100_000;
/// Glyphs inside one another; what reads outlines follows as many.
const DEPTH: usize = 32;

/// Bytes of a glyph before its contours or parts.
const GLYPH_HEAD: usize = 10;
/// Where `head` says how long the offsets of `loca` are.
const OFFSET_FORMAT: usize = 50;
// Flags of a part.
const WORDS: u16 = 0x0001;
const SCALE: u16 = 0x0008;
const MORE: u16 = 0x0020;
const TWO_SCALES: u16 = 0x0040;
const MATRIX: u16 = 0x0080;

/// Refuses a font with a glyph that unfolds to too many points.
///
/// # Errors
/// Says which glyph it is.
pub(super) fn check(name: &str, face: &Face<'_>) -> Result<(), FontError> {
    subroutines::check(name, face)?;
    let table = |tag: &[u8; 4]| face.raw_face().table(Tag::from_bytes(tag));
    // Outlines of other kinds have no such parts.
    let (Some(glyf), Some(loca), Some(head)) = (table(b"glyf"), table(b"loca"), table(b"head"))
    else {
        return Ok(());
    };
    let long = word(head, OFFSET_FORMAT).is_some_and(|format| format != 0);
    let count = face.number_of_glyphs();
    let mut glyphs = Glyphs { glyf, loca, long, points: vec![None; usize::from(count)] };
    for glyph in 0..count {
        if glyphs.points(glyph, DEPTH) > MOST_POINTS {
            return Err(FontError(format!(
                "{name} cannot be used as a font: its glyph {glyph} is made of too many parts"
            )));
        }
    }
    Ok(())
}

struct Glyphs<'a> {
    glyf: &'a [u8],
    loca: &'a [u8],
    long: bool,
    points: Vec<Option<u64>>,
}

impl Glyphs<'_> {
    /// How many points a glyph unfolds to; more than there may be where its parts stand too deep.
    fn points(&mut self, glyph: u16, depth: usize) -> u64 {
        let index = usize::from(glyph);
        if let Some(Some(known)) = self.points.get(index) {
            return *known;
        }
        if depth == 0 {
            return u64::MAX;
        }
        let points = self.counted(glyph, depth).unwrap_or(0);
        if let Some(known) = self.points.get_mut(index) {
            *known = Some(points);
        }
        points
    }

    fn counted(&mut self, glyph: u16, depth: usize) -> Option<u64> {
        let glyf = self.glyf.get(self.offset(glyph)?..)?;
        let contours = word(glyf, 0)?.cast_signed();
        if let Ok(contours) = usize::try_from(contours) {
            let last = contours.checked_sub(1)?;
            return Some(u64::from(word(glyf, GLYPH_HEAD + 2 * last)?) + 1);
        }
        let (mut at, mut all) = (GLYPH_HEAD, 0_u64);
        // A table that ends in the midst of a part has none after it.
        while let (Some(flags), Some(part)) = (word(glyf, at), word(glyf, at + 2)) {
            // A part without points is a step too.
            all = all.saturating_add(self.points(part, depth - 1)).saturating_add(1);
            if flags & MORE == 0 || all > MOST_POINTS {
                break;
            }
            at += 4 + if flags & WORDS != 0 { 4 } else { 2 };
            at += match flags {
                _ if flags & SCALE != 0 => 2,
                _ if flags & TWO_SCALES != 0 => 4,
                _ if flags & MATRIX != 0 => 8,
                _ => 0,
            };
        }
        Some(all)
    }

    fn offset(&self, glyph: u16) -> Option<usize> {
        let index = usize::from(glyph);
        if self.long {
            let bytes = self.loca.get(4 * index..4 * index + 4)?;
            usize::try_from(u32::from_be_bytes(bytes.try_into().ok()?)).ok()
        } else {
            Some(2 * usize::from(word(self.loca, 2 * index)?))
        }
    }
}

/// Two bytes of a table.
fn word(table: &[u8], at: usize) -> Option<u16> {
    let bytes = table.get(at..at.checked_add(2)?)?;
    Some(u16::from_be_bytes(bytes.try_into().ok()?))
}
