//! A SMuFL music font: glyph outlines, boxes and anchors in staff spaces, y down.
//!
//! The em of a SMuFL font is four staff spaces (SMuFL 1.4, "Font metrics").

use super::anchor::Anchor;
use super::composite;
use super::error::FontError;
use super::face::thousandths;
use super::glyph::Glyph;
use super::metadata::Metadata;
use super::outline::outline;
use super::profile;
use kurbo::{Affine, BezPath, Point, Rect, Shape};
use serde::Deserialize;
use serde_json::{Map, Value};
use std::borrow::Cow;
use std::sync::OnceLock;
use ttf_parser::{Face, GlyphId};

const CALFSKIN: &[u8] = include_bytes!("../../fonts/calfskin/Calfskin.ttf");

/// Staff spaces in one em.
pub const SPACES_PER_EM: f64 = 4.0;

/// Line weights and distances outside this range are a damaged file.
const SANE: std::ops::RangeInclusive<f64> = 0.0..=20.0;

/// A SMuFL font with its metadata.
#[derive(Debug)]
pub struct MusicFont {
    name: String,
    data: Cow<'static, [u8]>,
    defaults: Defaults,
    /// One for each of [`Glyph::ALL`], nothing where the font lacks it.
    glyphs: Vec<Option<GlyphRecord>>,
}

/// What is known of one glyph.
#[derive(Debug)]
struct GlyphRecord {
    id: u16,
    /// The advance the font file states, in whole thousandths of the em, rounded down.
    thousandths: i64,
    /// Drawn when it is first asked for.
    outline: OnceLock<BezPath>,
    bounds: Rect,
    advance: f64,
    anchors: Vec<(Anchor, Point)>,
    strips: OnceLock<Vec<Rect>>,
}

/// The font's `engravingDefaults` (SMuFL 1.4, chapter "Metadata for SMuFL fonts"), in staff spaces.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs, reason = "each field is the SMuFL key of the same name")]
pub struct Defaults {
    pub staff_line_thickness: f64,
    pub stem_thickness: f64,
    pub beam_thickness: f64,
    pub beam_spacing: f64,
    pub leger_line_thickness: f64,
    pub leger_line_extension: f64,
    pub thin_barline_thickness: f64,
    pub thick_barline_thickness: f64,
    pub barline_separation: f64,
    pub thin_thick_barline_separation: f64,
    pub repeat_barline_dot_separation: f64,
    pub tie_endpoint_thickness: f64,
    pub tie_midpoint_thickness: f64,
    pub slur_endpoint_thickness: f64,
    pub slur_midpoint_thickness: f64,
    pub tuplet_bracket_thickness: f64,
    pub repeat_ending_line_thickness: f64,
    pub bracket_thickness: f64,
    pub hairpin_thickness: f64,
    pub text_enclosure_thickness: f64,
    pub h_bar_thickness: f64,
}

impl MusicFont {
    /// Calfskin, the font that is part of the program.
    ///
    /// # Errors
    /// Says what is wrong with the font.
    pub fn calfskin() -> Result<Self, FontError> {
        let metadata = Metadata::calfskin();
        Self::assemble(Cow::Borrowed(CALFSKIN), metadata, Map::new())
    }

    /// Another SMuFL font. A default its metadata does not name is Calfskin's.
    ///
    /// # Errors
    /// Says what is wrong with the font or with its metadata.
    pub fn from_files(font: Vec<u8>, metadata_json: &str) -> Result<Self, FontError> {
        let metadata = Metadata::read(metadata_json)?;
        if let Ok(face) = Face::parse(&font, 0) {
            composite::check("the music font", &face)?;
        }
        let base = Metadata::calfskin().defaults;
        let font = Self::assemble(Cow::Owned(font), metadata, base)?;
        if !font.has(Glyph::NOTEHEAD_BLACK) {
            return Err(FontError(
                "the music font has no black notehead at U+E0A4, so it is not a SMuFL font".into(),
            ));
        }
        Ok(font)
    }

    fn assemble(
        data: Cow<'static, [u8]>,
        mut metadata: Metadata,
        mut defaults: Map<String, Value>,
    ) -> Result<Self, FontError> {
        defaults.append(&mut metadata.defaults);
        let wrong = defaults.iter().find(|(_, v)| v.as_f64().is_some_and(|n| !SANE.contains(&n)));
        if let Some((key, value)) = wrong {
            return Err(FontError(format!(
                "the music font's metadata says `{key}` is {value} staff spaces"
            )));
        }
        let defaults = Defaults::deserialize(Value::Object(defaults))
            .map_err(|e| FontError(format!("the music font's engravingDefaults: {e}")))?;
        let glyphs = glyphs(&data, &metadata)?;
        let name = metadata.font_name.unwrap_or_else(|| "Music".into());
        Ok(Self { name, data, defaults, glyphs })
    }

    /// The font's name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The font file.
    pub fn data(&self) -> &[u8] {
        &self.data
    }

    fn record(&self, glyph: Glyph) -> Option<&GlyphRecord> {
        self.glyphs.get(glyph.index())?.as_ref()
    }

    /// The glyph's number in the font file.
    pub fn glyph_id(&self, glyph: Glyph) -> Option<u16> {
        self.record(glyph).map(|entry| entry.id)
    }

    /// The advance a glyph has in the font file, in whole thousandths of the em, rounded down.
    pub fn thousandths(&self, glyph: Glyph) -> i64 {
        self.record(glyph).map_or(0, |record| record.thousandths)
    }

    /// Line weights and distances.
    pub fn defaults(&self) -> &Defaults {
        &self.defaults
    }

    /// Whether the font has the glyph.
    pub fn has(&self, glyph: Glyph) -> bool {
        self.record(glyph).is_some()
    }

    /// The box of a glyph's ink around its origin; empty where the font lacks it.
    pub fn bounds(&self, glyph: Glyph) -> Rect {
        self.record(glyph).map_or(Rect::ZERO, |entry| entry.bounds)
    }

    /// How far the next glyph's origin lies to the right.
    pub fn advance(&self, glyph: Glyph) -> f64 {
        self.record(glyph).map_or(0.0, |entry| entry.advance)
    }

    /// A named point.
    pub fn anchor(&self, glyph: Glyph, anchor: Anchor) -> Option<Point> {
        let anchors = &self.record(glyph)?.anchors;
        anchors.iter().find(|(known, _)| *known == anchor).map(|(_, at)| *at)
    }

    /// The glyph's ink in upright strips around its origin, see [`profile::strips`].
    pub fn strips(&self, glyph: Glyph) -> &[Rect] {
        let Some(entry) = self.record(glyph) else { return &[] };
        entry.strips.get_or_init(|| profile::strips(self.outline_of(entry)))
    }

    /// Whether somebody asked for the strips of a glyph.
    #[cfg(test)]
    pub(super) fn has_strips(&self, glyph: Glyph) -> bool {
        self.record(glyph).is_some_and(|entry| entry.strips.get().is_some())
    }

    /// The outline around the origin, nonzero winding; empty where the font lacks the glyph.
    pub fn outline(&self, glyph: Glyph) -> BezPath {
        self.record(glyph).map(|entry| self.outline_of(entry).clone()).unwrap_or_default()
    }

    fn outline_of<'a>(&'a self, entry: &'a GlyphRecord) -> &'a BezPath {
        entry.outline.get_or_init(|| {
            // The font was read when its glyphs were.
            let face = Face::parse(&self.data, 0).ok();
            face.map(|face| in_spaces(&face, GlyphId(entry.id))).unwrap_or_default()
        })
    }
}

/// How many staff spaces there are in a unit of the font.
fn unit(face: &Face<'_>) -> f64 {
    SPACES_PER_EM / f64::from(face.units_per_em())
}

/// The outline of a glyph in staff spaces.
fn in_spaces(face: &Face<'_>, id: GlyphId) -> BezPath {
    Affine::scale(unit(face)) * outline(face, id)
}

fn glyphs(data: &[u8], metadata: &Metadata) -> Result<Vec<Option<GlyphRecord>>, FontError> {
    let face = Face::parse(data, 0)
        .map_err(|e| FontError(format!("the music font cannot be read: {e}")))?;
    Ok(Glyph::ALL.iter().map(|glyph| record(&face, *glyph, metadata)).collect())
}

fn record(face: &Face<'_>, glyph: Glyph, metadata: &Metadata) -> Option<GlyphRecord> {
    let id = face.glyph_index(glyph.code())?;
    let stated = metadata.stated(glyph);
    let bounds = stated.bounds.unwrap_or_else(|| {
        let outline = in_spaces(face, id);
        if outline.is_empty() { Rect::ZERO } else { outline.bounding_box() }
    });
    let advance = || f64::from(face.glyph_hor_advance(id).unwrap_or_default()) * unit(face);
    Some(GlyphRecord {
        id: id.0,
        thousandths: thousandths(face, id.0),
        outline: OnceLock::new(),
        bounds,
        advance: stated.advance.unwrap_or_else(advance),
        anchors: stated.anchors,
        strips: OnceLock::new(),
    })
}
