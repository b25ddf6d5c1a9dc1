//! The faces a drawing uses, cut down to the glyphs it uses, and what each glyph reads as.

use super::usage::Usage;
use crate::font::{FaceId, Fonts};
use crate::parallel::map_in_order;
use crate::write::error::WriteError;
use printpdf::{
    Codepoint, FontId, FontMetrics, Op, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, Pt,
    TextItem,
};
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// A face of the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum FaceKey {
    Text(FaceId),
    Music,
}

/// The faces in use.
pub(super) struct Faces(BTreeMap<FaceKey, Face>);

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
    /// The advance a viewer applies, in thousandths of the em.
    pub(super) width: i64,
}

/// How often each glyph of a face stands for which words.
type Readings = BTreeMap<u16, BTreeMap<String, usize>>;

impl Faces {
    /// The faces of what is used.
    pub(super) fn of(usage: &Usage<'_>, fonts: &Fonts) -> Result<Self, WriteError> {
        let mut faces: BTreeMap<FaceKey, Readings> = BTreeMap::new();
        let mut add = |key: FaceKey, id: u16, words: &str, count: usize| {
            let readings = faces.entry(key).or_default().entry(id).or_default();
            match readings.get_mut(words) {
                Some(known) => *known += count,
                None => drop(readings.insert(words.to_owned(), count)),
            }
        };
        for (run, count) in usage.runs.values() {
            for (glyph, words) in run.glyph_words() {
                add(FaceKey::Text(glyph.face), glyph.id, words, *count);
            }
        }
        for (sign, count) in &usage.signs {
            if let Some(id) = fonts.music.glyph_id(*sign) {
                add(FaceKey::Music, id, sign.code().encode_utf8(&mut [0; 4]), *count);
            }
        }
        let subset = |(key, readings)| Ok((key, Face::subset(key, &readings, fonts)?));
        let faces = map_in_order(faces.into_iter().collect(), subset);
        Ok(Self(faces.into_iter().collect::<Result<_, WriteError>>()?))
    }

    pub(super) fn get(&self, key: FaceKey) -> Option<&Face> {
        self.0.get(&key)
    }

    pub(super) fn embed(&self, document: &mut PdfDocument) {
        for face in self.0.values() {
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
        let shown = self.0.values().flat_map(show);
        std::iter::once(Op::StartTextSection).chain(shown).chain([Op::EndTextSection]).collect()
    }
}

impl Face {
    pub(super) fn glyph(&self, id: u16) -> Option<&Coded> {
        self.glyphs.get(&id)
    }

    /// What pages call it.
    pub(super) fn resource(&self) -> &str {
        &self.font.0
    }

    fn subset(key: FaceKey, readings: &Readings, fonts: &Fonts) -> Result<Self, WriteError> {
        let (resource, data) = match key {
            FaceKey::Text(face) => (resource(face), fonts.text.data(face)),
            FaceKey::Music => ("Music".to_owned(), fonts.music.data()),
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
        for (id, words) in readings {
            let code = remapper.remap(*id);
            let advance = face.glyph_hor_advance(ttf_parser::GlyphId(*id)).unwrap_or_default();
            widths.insert(code, advance);
            // The PDF holds whole thousandths, rounded down.
            let width = i64::from(advance) * 1000 / i64::from(em.max(1));
            glyphs.insert(*id, Coded { code, reads: most_common(words), width });
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
}

/// What pages call a face of words.
fn resource(face: FaceId) -> String {
    match face.0 {
        0 => "TextRegular".into(),
        1 => "TextBold".into(),
        2 => "TextItalic".into(),
        other => format!("Text{other}"),
    }
}

/// The words a glyph stands for most often; the first in order among equals.
fn most_common(words: &BTreeMap<String, usize>) -> String {
    words
        .iter()
        .filter(|(words, _)| !words.is_empty())
        .rev()
        .max_by_key(|(_, count)| **count)
        .map(|(words, _)| words.clone())
        .unwrap_or_default()
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
        FaceKey::Text(face) => resource(face),
    };
    stated.unwrap_or(fallback).chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect()
}
