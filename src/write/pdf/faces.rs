//! The faces a drawing uses, cut down to the glyphs it uses, and what each glyph reads as.

use super::face_key::FaceKey;
use super::shown::Shown;
use crate::font::Fonts;
use crate::parallel::{Each, map_in_order};
use crate::write::error::WriteError;
use printpdf::{
    Codepoint, FontId, FontMetrics, Op, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, Pt,
    TextItem,
};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use subsetter::GlyphRemapper;

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
}

/// The glyphs of a face, and what each reads as: of several words it stands for, the first in order.
type Readings = BTreeMap<u16, String>;

impl Faces {
    /// The faces of what is shown, and what they read otherwise than some of it says.
    pub(super) fn of(shown: &Shown<'_>, fonts: &Fonts) -> Result<(Self, Misread), WriteError> {
        let mut faces: BTreeMap<FaceKey, Readings> = BTreeMap::new();
        let mut several: BTreeSet<(FaceKey, u16)> = BTreeSet::new();
        let mut add =
            |key: FaceKey, id: u16, words: &str| match faces.entry(key).or_default().entry(id) {
                Entry::Vacant(place) => drop(place.insert(words.to_owned())),
                Entry::Occupied(mut known) if known.get() != words => {
                    several.insert((key, id));
                    if words < known.get().as_str() {
                        known.insert(words.to_owned());
                    }
                }
                Entry::Occupied(_) => {}
            };
        for run in shown.runs() {
            for (glyph, words) in run.glyph_words() {
                add(FaceKey::Text(glyph.face), glyph.id, words);
            }
        }
        for sign in &shown.signs {
            if let Some(id) = fonts.music.glyph_id(*sign) {
                add(FaceKey::Music, id, &spoken(sign.name()));
            }
        }
        let reads = |(key, id): (FaceKey, u16)| {
            let reads = faces.get(&key).and_then(|readings| readings.get(&id));
            ((key, id), reads.cloned().unwrap_or_default())
        };
        let misread = Misread(several.into_iter().map(reads).collect());
        let subset = |(key, readings)| Ok((key, Face::subset(key, readings, fonts)?));
        let faces = map_in_order(Each::Large, faces.into_iter().collect(), subset);
        Ok((Self(faces.into_iter().collect::<Result<_, WriteError>>()?), misread))
    }

    /// The number of a glyph of a font file in the document; that of the empty box where it has none.
    pub(super) fn code(&self, key: FaceKey, glyph: u16) -> u16 {
        self.0.get(&key).and_then(|face| face.glyphs.get(&glyph)).map_or(0, |coded| coded.code)
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
}

/// Glyphs that stand for several words in a document, and which of these each reads as. All others read as
/// the words they stand for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Misread(BTreeMap<(FaceKey, u16), String>);

impl Misread {
    /// What a glyph reads as that stands for some words.
    pub(super) fn reading<'a>(&'a self, key: FaceKey, glyph: u16, words: &'a str) -> &'a str {
        self.0.get(&(key, glyph)).map_or(words, String::as_str)
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
