//! One face of a document, cut down to the glyphs that are shown.

use super::face_key::FaceKey;
use crate::font::Fonts;
use crate::write::error::WriteError;
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// The glyphs of a face, and what each reads as: of several words it stands for, the first in order.
pub(super) type Readings = BTreeMap<u16, String>;

/// One subset face.
pub(super) struct Face {
    /// What pages call it.
    pub(super) resource: String,
    /// The font file.
    pub(super) program: Vec<u8>,
    pub(super) description: Description,
    /// By their numbers in the whole face.
    glyphs: BTreeMap<u16, Coded>,
}

/// A glyph as the file knows it.
pub(super) struct Coded {
    /// Its number in the subset.
    pub(super) code: u16,
    /// Its advance in thousandths of the em, rounded down.
    pub(super) width: i64,
    /// What it reads as wherever nothing else is said.
    pub(super) reads: String,
}

/// What is said of a face as a whole, which readers ask where they can't use the face itself.
pub(super) struct Description {
    /// The name of the subset.
    pub(super) name: String,
    pub(super) em: u16,
    pub(super) ascent: i16,
    pub(super) descent: i16,
    /// The corners of the box of all its ink.
    pub(super) frame: [i16; 4],
    /// Degrees counter-clockwise from the vertical.
    pub(super) angle: i64,
    pub(super) weight: u16,
}

impl Description {
    /// What is said of a face, whose subset has a name.
    fn of(face: &ttf_parser::Face<'_>, name: String) -> Self {
        let frame = face.global_bounding_box();
        Self {
            name,
            em: face.units_per_em(),
            ascent: face.ascender(),
            descent: face.descender(),
            frame: [frame.x_min, frame.y_min, frame.x_max, frame.y_max],
            angle: face.italic_angle().round() as i64,
            weight: face.weight().to_number(),
        }
    }
}

impl Face {
    /// A face cut down to some glyphs.
    ///
    /// # Errors
    /// Says which face could not be embedded.
    pub(super) fn subset(
        key: FaceKey,
        readings: Readings,
        fonts: &Fonts,
    ) -> Result<Self, WriteError> {
        let resource = key.resource().into_owned();
        let data = match key {
            FaceKey::Text(face) => fonts.text.data(face),
            FaceKey::Music => fonts.music.data(),
        };
        let spoken = &resource;
        let fault = |why: &dyn std::fmt::Display| {
            WriteError(format!("the face {spoken} cannot be embedded: {why}"))
        };
        let face = ttf_parser::Face::parse(data, 0).map_err(|e| fault(&e))?;
        let mut remapper = GlyphRemapper::new();
        let em = i64::from(face.units_per_em().max(1));
        let mut glyphs = BTreeMap::new();
        for (id, reads) in readings {
            let code = remapper.remap(id);
            let advance = face.glyph_hor_advance(ttf_parser::GlyphId(id)).unwrap_or_default();
            glyphs.insert(id, Coded { code, width: i64::from(advance) * 1000 / em, reads });
        }
        let program = subsetter::subset(data, 0, &remapper).map_err(|e| fault(&e))?;
        let name = format!("{}+{}", subset_tag(glyphs.keys()), post_script_name(&face, key, fonts));
        Ok(Self { resource, program, description: Description::of(&face, name), glyphs })
    }

    /// The number of a glyph of the whole face in the subset; nothing where it is not shown.
    pub(super) fn code(&self, glyph: u16) -> Option<u16> {
        self.glyphs.get(&glyph).map(|coded| coded.code)
    }

    /// The glyphs in the order of their codes.
    pub(super) fn by_code(&self) -> Vec<&Coded> {
        let mut glyphs: Vec<&Coded> = self.glyphs.values().collect();
        glyphs.sort_by_key(|glyph| glyph.code);
        glyphs
    }
}

/// The six capitals that mark a subset, one set of glyphs one tag (ISO 32000-1, 9.6.4).
fn subset_tag<'a>(ids: impl Iterator<Item = &'a u16>) -> String {
    // FNV-1a, 64 bits; only its evenness matters.
    let mut hash =
        ids.flat_map(|id| id.to_be_bytes()).fold(0xcbf2_9ce4_8422_2325_u64, |hash, b| {
            (hash ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
        });
    (0..6)
        .map(|_| {
            let letter = b'A' + (hash % 26) as u8;
            hash /= 26;
            char::from(letter)
        })
        .collect()
}

/// The face's own PostScript name, kept to the characters a PDF name needs no escape for.
fn post_script_name(face: &ttf_parser::Face<'_>, key: FaceKey, fonts: &Fonts) -> String {
    let stated = face
        .names()
        .into_iter()
        .filter(|name| name.name_id == ttf_parser::name_id::POST_SCRIPT_NAME)
        .find_map(|name| name.to_string());
    let fallback = match key {
        FaceKey::Music => fonts.music.name().to_owned(),
        FaceKey::Text(_) => key.resource().into_owned(),
    };
    stated.unwrap_or(fallback).chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect()
}
