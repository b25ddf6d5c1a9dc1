//! The faces a drawing uses, cut down to the glyphs it uses, and what each glyph reads as.

use super::face_key::FaceKey;
use super::glyphs::GlyphSet;
use crate::font::{Fonts, Glyph};
use crate::parallel::{Each, map_in_order};
use crate::write::error::WriteError;
use printpdf::{
    Codepoint, FontId, FontMetrics, Op, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, Pt,
    TextItem,
};
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// The faces in use.
pub(super) struct Faces {
    faces: Vec<Face>,
    /// By the numbers of the faces, and then of their glyphs in the font file: those in the document.
    codes: Vec<Vec<u16>>,
}

/// One subset face.
pub(super) struct Face {
    font: FontId,
    parsed: ParsedFont,
    glyphs: BTreeMap<u16, Coded>,
}

/// A glyph as the file knows it.
pub(super) struct Coded {
    /// Its number in the subset.
    pub(super) code: u16,
    /// What it reads as wherever nothing else is said.
    pub(super) reads: String,
}

impl Faces {
    /// The faces of what is shown.
    pub(super) fn of(shown: &GlyphSet, fonts: &Fonts) -> Result<Self, WriteError> {
        let keys: Vec<FaceKey> = shown.faces().collect();
        let subset = |key| {
            Ok::<_, WriteError>((key, Face::subset(key, readings(key, shown, fonts), fonts)?))
        };
        let subsets = map_in_order(Each::Large, keys, subset);
        let (mut faces, mut codes) = (Vec::new(), Vec::new());
        for subset in subsets {
            let (key, face) = subset?;
            let number = usize::from(key.number());
            codes.resize_with(codes.len().max(number + 1), Vec::new);
            if let Some(of_face) = codes.get_mut(number) {
                *of_face = face.codes();
            }
            faces.push(face);
        }
        Ok(Self { faces, codes })
    }

    /// The number of a glyph of a font file in the document; that of the empty box where it has none.
    pub(super) fn code(&self, key: FaceKey, glyph: u16) -> u16 {
        let of_face = self.codes.get(usize::from(key.number()));
        of_face.and_then(|codes| codes.get(usize::from(glyph)).copied()).unwrap_or_default()
    }

    pub(super) fn embed(&self, document: &mut PdfDocument) {
        for face in &self.faces {
            document
                .resources
                .fonts
                .map
                .insert(face.font.clone(), PdfFont::new(face.parsed.clone()));
        }
    }

    /// Operators that show every glyph once, with what it reads as: a document embeds what its pages
    /// show.
    pub(super) fn specimen(&self) -> Vec<Op> {
        let show = |face: &Face| {
            let font = PdfFontHandle::External(face.font.clone());
            let glyphs = face.glyphs.values();
            let coded = glyphs.map(|g| Codepoint::with_cid(g.code, 0.0, g.reads.clone())).collect();
            [
                Op::SetFont { font, size: Pt(1.0) },
                Op::ShowText { items: vec![TextItem::GlyphIds(coded)] },
            ]
        };
        let shown = self.faces.iter().flat_map(show);
        std::iter::once(Op::StartTextSection).chain(shown).chain([Op::EndTextSection]).collect()
    }
}

/// The glyphs of a face, and what each reads as.
type Readings = BTreeMap<u16, String>;

/// What the shown glyphs of a face read as. Signs of music that look alike and share one read as the first of them in
/// order.
fn readings(key: FaceKey, shown: &GlyphSet, fonts: &Fonts) -> Readings {
    let glyphs = shown.glyphs(key);
    match key {
        FaceKey::Text(face) => {
            glyphs.map(|id| (id, fonts.text.reading(face, id).collect())).collect()
        }
        FaceKey::Music => {
            let mut readings: Readings = glyphs.map(|id| (id, String::new())).collect();
            for sign in Glyph::ALL {
                let id = fonts.music.glyph_id(*sign);
                let Some(reads) = id.and_then(|id| readings.get_mut(&id)) else { continue };
                let spoken = spoken(sign.name());
                if reads.is_empty() || spoken < *reads {
                    *reads = spoken;
                }
            }
            readings
        }
    }
}

/// The most letters of a word for a sign: readers know no longer ones for a single glyph.
const WORD: usize = 7;

/// A word for a sign with a blank after it (`noteheadXBlack`: `note `): what a program copies that knows no
/// better. Its code point is private to music fonts.
fn spoken(name: &str) -> String {
    let figures = name.strip_prefix("timeSig").or_else(|| name.strip_prefix("tuplet"));
    if let Some(figures) = figures.filter(|rest| rest.bytes().all(|byte| byte.is_ascii_digit())) {
        return format!("{figures} ");
    }
    let word: String = name.chars().take_while(char::is_ascii_lowercase).collect();
    let word = match word.as_str() {
        "notehead" => "note",
        "unpitched" => "clef",
        other => other.get(..WORD).unwrap_or(other),
    };
    format!("{word} ")
}

impl Face {
    fn subset(key: FaceKey, readings: Readings, fonts: &Fonts) -> Result<Self, WriteError> {
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
        let em = face.units_per_em();
        let mut widths = BTreeMap::new();
        let mut glyphs = BTreeMap::new();
        for (id, reads) in readings {
            let code = remapper.remap(id);
            let advance = face.glyph_hor_advance(ttf_parser::GlyphId(id)).unwrap_or_default();
            widths.insert(code, advance);
            glyphs.insert(id, Coded { code, reads });
        }
        let program = subsetter::subset(data, 0, &remapper).map_err(|e| fault(&e))?;
        let name = format!("{}+{}", subset_tag(glyphs.keys()), post_script_name(&face, key, fonts));
        let metrics = FontMetrics { ascent: face.ascender(), descent: face.descender() };
        let mut parsed = ParsedFont::with_glyph_data(
            program,
            0,
            Some(name),
            BTreeMap::new(),
            widths,
            em,
            metrics,
        );
        let frame = face.global_bounding_box();
        let stated = &mut parsed.pdf_font_metrics;
        (stated.x_min, stated.y_min) = (frame.x_min, frame.y_min);
        (stated.x_max, stated.y_max) = (frame.x_max, frame.y_max);
        stated.us_weight_class = face.weight().to_number();
        if let Some(angle) = Some(face.italic_angle()).filter(|angle| *angle != 0.0) {
            stated.caret_slope_rise = 1000;
            stated.caret_slope_run = (1000.0 * -angle.to_radians().tan()) as i16;
        }
        Ok(Self { font: FontId(resource), parsed, glyphs })
    }

    /// By the numbers of glyphs in the font file: those in the document.
    fn codes(&self) -> Vec<u16> {
        let count = self.glyphs.keys().next_back().map_or(0, |last| usize::from(*last) + 1);
        let mut codes = vec![0; count];
        for (glyph, coded) in &self.glyphs {
            if let Some(code) = codes.get_mut(usize::from(*glyph)) {
                *code = coded.code;
            }
        }
        codes
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
