//! The letters a picture uses as a font inside the picture.
//!
//! A subset for embedding in PDF has no character map, which a browser needs; this adds the map
//! and the `OS/2` table (OpenType 1.9, chapters "cmap" and "OS/2").

use super::error::WriteError;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::collections::BTreeSet;
use subsetter::GlyphRemapper;
use ttf_parser::Face;

/// A font as a `data:` URL, in base 64 with padding (RFC 4648, section 4).
pub(super) fn data_url(font: &[u8]) -> String {
    format!("data:font/otf;base64,{}", STANDARD.encode(font))
}

/// The letters of a face as a font.
pub(super) fn subset(data: &[u8], letters: &BTreeSet<char>) -> Result<Vec<u8>, WriteError> {
    let face = Face::parse(data, 0)
        .map_err(|e| WriteError(format!("a text face cannot be embedded: {e}")))?;
    let mut remapper = GlyphRemapper::new();
    let map: Vec<(u32, u16)> = letters
        .iter()
        .filter_map(|c| Some((u32::from(*c), remapper.remap(face.glyph_index(*c)?.0))))
        .collect();
    let subset = subsetter::subset(data, 0, &remapper)
        .map_err(|e| WriteError(format!("a text face cannot be embedded: {e}")))?;
    let mut tables = tables(&subset).ok_or_else(|| {
        WriteError("a text face cannot be embedded: its tables are damaged".into())
    })?;
    tables.push((*b"cmap", character_map(&map)));
    if let Some(os2) = face.raw_face().table(ttf_parser::Tag::from_bytes(b"OS/2")) {
        tables.push((*b"OS/2", os2.to_vec()));
    }
    tables.sort();
    Ok(assemble(&tables))
}

type Table = ([u8; 4], Vec<u8>);

fn tables(font: &[u8]) -> Option<Vec<Table>> {
    let face = ttf_parser::RawFace::parse(font, 0).ok()?;
    let mut tables = Vec::new();
    for record in face.table_records {
        tables.push((record.tag.to_bytes(), face.table(record.tag)?.to_vec()));
    }
    Some(tables)
}

/// One subtable of format 12: a group for each letter.
fn character_map(map: &[(u32, u16)]) -> Vec<u8> {
    let mut table = Vec::new();
    put16(&mut table, &[0, 1, 3, 10]);
    put32(&mut table, &[12]);
    put16(&mut table, &[12, 0]);
    let count = u32::try_from(map.len()).unwrap_or(u32::MAX);
    put32(&mut table, &[16 + 12 * count, 0, count]);
    for (letter, glyph) in map {
        put32(&mut table, &[*letter, *letter, u32::from(*glyph)]);
    }
    table
}

/// Tables behind a table directory, with their checksums (OpenType 1.9, "Organization of an
/// OpenType Font").
fn assemble(tables: &[Table]) -> Vec<u8> {
    let is_cff = tables.iter().any(|(tag, _)| tag == b"CFF ");
    let count = u16::try_from(tables.len()).unwrap_or(u16::MAX);
    let selector = count.max(1).ilog2() as u16;
    let range = 16 << selector;
    let mut font = if is_cff { b"OTTO".to_vec() } else { vec![0, 1, 0, 0] };
    put16(&mut font, &[count, range, selector, (count * 16).saturating_sub(range)]);
    let mut offset = 12 + 16 * tables.len();
    for (tag, data) in tables {
        font.extend(tag);
        let size = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        put32(&mut font, &[checksum(data), size(offset), size(data.len())]);
        offset += data.len().next_multiple_of(4);
    }
    for (_, data) in tables {
        font.extend(data);
        font.resize(font.len().next_multiple_of(4), 0);
    }
    font
}

fn checksum(data: &[u8]) -> u32 {
    data.chunks(4).fold(0, |sum, chunk| {
        let word = (0..4)
            .fold(0, |word, at| word << 8 | u32::from(chunk.get(at).copied().unwrap_or_default()));
        sum.wrapping_add(word)
    })
}

fn put16(out: &mut Vec<u8>, values: &[u16]) {
    out.extend(values.iter().flat_map(|value| value.to_be_bytes()));
}

fn put32(out: &mut Vec<u8>, values: &[u32]) {
    out.extend(values.iter().flat_map(|value| value.to_be_bytes()));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10, "Test Vectors".
    #[test]
    fn base64_of_the_standard() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(STANDARD.encode(plain), coded);
        }
    }

    #[test]
    fn a_subset_maps_its_letters_and_no_others() {
        let whole = include_bytes!(concat!(env!("OUT_DIR"), "/serif-regular.otf"));
        let font = subset(whole, &"Flám".chars().collect()).expect("a subset");
        let face = Face::parse(&font, 0).expect("a font");
        let original = Face::parse(whole, 0).expect("a font");
        for letter in "Flám".chars() {
            let id = face.glyph_index(letter).expect("a mapped letter");
            let theirs = original.glyph_index(letter).expect("a mapped letter");
            assert_eq!(face.glyph_bounding_box(id), original.glyph_bounding_box(theirs));
            assert_eq!(face.glyph_hor_advance(id), original.glyph_hor_advance(theirs));
        }
        assert_eq!(face.glyph_index('x'), None);
        assert!(font.len() < 12_000, "{} bytes", font.len());
    }
}
