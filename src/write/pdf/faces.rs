//! The faces a drawing uses, cut down to the glyphs it uses, and what each glyph reads as.

use super::compress::Packed;
use super::face_key::FaceKey;
use super::glyphs::GlyphNumbers;
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
pub(super) struct Faces(Vec<Face>);

/// One subset face.
pub(super) struct Face {
    font: FontId,
    parsed: ParsedFont,
    /// The numbers of its glyphs in the subset, and what each reads as wherever nothing else is said.
    glyphs: Vec<(u16, String)>,
    /// What the document has of it.
    embedded: Vec<u8>,
}

impl Faces {
    /// The faces of what is shown.
    pub(super) fn of(shown: &GlyphNumbers, fonts: &Fonts) -> Result<Self, WriteError> {
        let subset = |key| Face::subset(key, shown.glyphs(key), fonts);
        map_in_order(Each::Large, shown.faces(), subset)
            .into_iter()
            .collect::<Result<_, _>>()
            .map(Self)
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.0.len()
    }

    /// What the document is to have of them, compressed.
    ///
    /// # Errors
    /// Passes on what the compressor says.
    pub(super) fn packed(&self) -> std::io::Result<Vec<Packed>> {
        let faces = self.0.iter().map(|face| face.embedded.clone()).collect();
        map_in_order(Each::Large, faces, Packed::of).into_iter().collect()
    }

    pub(super) fn embed(&self, document: &mut PdfDocument) {
        for face in &self.0 {
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
            let glyphs = face.glyphs.iter();
            let coded = glyphs.map(|(code, reads)| Codepoint::with_cid(*code, 0.0, reads.clone()));
            let coded = coded.collect();
            [
                Op::SetFont { font, size: Pt(1.0) },
                Op::ShowText { items: vec![TextItem::GlyphIds(coded)] },
            ]
        };
        let shown = self.0.iter().flat_map(show);
        std::iter::once(Op::StartTextSection).chain(shown).chain([Op::EndTextSection]).collect()
    }
}

/// The glyphs of a face, and what each reads as.
type Readings = BTreeMap<u16, String>;

/// What the shown glyphs of a face read as. Signs of music that look alike and share one read as the first of them in
/// order.
fn readings(key: FaceKey, shown: &[u16], fonts: &Fonts) -> Readings {
    let glyphs = shown.iter().copied();
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
    /// A face cut down to the glyphs that are shown, in the order of their numbers in the document.
    fn subset(key: FaceKey, shown: &[u16], fonts: &Fonts) -> Result<Self, WriteError> {
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
        let mut readings = readings(key, shown, fonts);
        let tag = subset_tag(readings.keys());
        let mut glyphs = Vec::with_capacity(shown.len());
        for id in shown {
            let code = remapper.remap(*id);
            let advance = face.glyph_hor_advance(ttf_parser::GlyphId(*id)).unwrap_or_default();
            widths.insert(code, advance);
            glyphs.push((code, readings.remove(id).unwrap_or_default()));
        }
        let program = subsetter::subset(data, 0, &remapper).map_err(|e| fault(&e))?;
        let embedded = embedded(&program).to_vec();
        let name = format!("{tag}+{}", post_script_name(&face, key, fonts));
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
        Ok(Self { font: FontId(resource), parsed, glyphs, embedded })
    }
}

/// What a document has of a font file: its outlines alone where these are CFF (ISO 32000-1, 9.9).
fn embedded(program: &[u8]) -> &[u8] {
    let outlines = ttf_parser::RawFace::parse(program, 0).ok();
    let outlines = outlines.and_then(|face| face.table(ttf_parser::Tag::from_bytes(b"CFF ")));
    outlines.unwrap_or(program)
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
