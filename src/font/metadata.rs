//! What the metadata of a SMuFL font says (SMuFL 1.4, "Metadata for SMuFL fonts"): read from a file, or
//! that of the built-in font, which is part of the program as tables.

use super::anchor::Anchor;
use super::error::FontError;
use super::glyph::Glyph;
use kurbo::{Point, Rect};
use serde::Deserialize;
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// The tables `build.rs` makes.
#[allow(clippy::approx_constant, reason = "some width is near some constant of mathematics")]
mod tables {
    use super::GlyphMetrics;
    include!(concat!(env!("OUT_DIR"), "/calfskin.rs"));
}

/// What the tables hold of a glyph: staff spaces, y up.
struct GlyphMetrics {
    advance: f64,
    south_west: [f64; 2],
    north_east: [f64; 2],
    anchors: &'static [(&'static str, [f64; 2])],
}

/// The metadata of a font.
pub(super) struct Metadata {
    pub(super) font_name: Option<String>,
    /// `engravingDefaults`, in staff spaces.
    pub(super) defaults: Map<String, Value>,
    glyphs: MetadataSource,
}

enum MetadataSource {
    BuiltIn,
    Read(MetadataFile),
}

/// What is stated of a glyph, in staff spaces, y down.
#[derive(Default)]
pub(super) struct Stated {
    pub(super) advance: Option<f64>,
    pub(super) bounds: Option<Rect>,
    pub(super) anchors: Vec<(Anchor, Point)>,
}

/// The parts of a file that are read; it may leave any of them out.
#[derive(Debug, Default, Deserialize)]
#[serde(rename_all = "camelCase", default)]
struct MetadataFile {
    font_name: Option<String>,
    engraving_defaults: Map<String, Value>,
    glyph_advance_widths: BTreeMap<String, f64>,
    #[serde(rename = "glyphBBoxes")]
    glyph_boxes: BTreeMap<String, CornerBox>,
    glyphs_with_anchors: BTreeMap<String, BTreeMap<String, Value>>,
}

/// A box of `glyphBBoxes`: staff spaces, y up.
#[derive(Debug, Deserialize)]
struct CornerBox {
    #[serde(rename = "bBoxNE")]
    north_east: [f64; 2],
    #[serde(rename = "bBoxSW")]
    south_west: [f64; 2],
}

impl Metadata {
    /// That of the built-in font.
    pub(super) fn calfskin() -> Self {
        let defaults =
            tables::DEFAULTS.iter().map(|(key, value)| ((*key).to_owned(), (*value).into()));
        Self {
            font_name: Some(tables::NAME.to_owned()),
            defaults: defaults.collect(),
            glyphs: MetadataSource::BuiltIn,
        }
    }

    /// That of a file.
    ///
    /// # Errors
    /// Says why the file is none.
    pub(super) fn read(json: &str) -> Result<Self, FontError> {
        let mut file: MetadataFile = serde_json::from_str(json)
            .map_err(|e| FontError(format!("the music font's metadata cannot be read: {e}")))?;
        Ok(Self {
            font_name: file.font_name.take(),
            defaults: std::mem::take(&mut file.engraving_defaults),
            glyphs: MetadataSource::Read(file),
        })
    }

    /// What it states of a glyph.
    pub(super) fn stated(&self, glyph: Glyph) -> Stated {
        match &self.glyphs {
            MetadataSource::BuiltIn => built_in(glyph.name()),
            MetadataSource::Read(file) => file.stated(glyph.name()),
        }
    }
}

fn built_in(name: &str) -> Stated {
    let at = tables::GLYPHS.binary_search_by_key(&name, |(name, _)| *name);
    let Some((_, row)) = at.ok().and_then(|at| tables::GLYPHS.get(at)) else {
        return Stated::default();
    };
    Stated {
        advance: Some(row.advance),
        bounds: Some(bounds(row.south_west, row.north_east)),
        anchors: anchors(row.anchors.iter().map(|(name, at)| (*name, *at))),
    }
}

impl MetadataFile {
    fn stated(&self, name: &str) -> Stated {
        let named = self.glyphs_with_anchors.get(name).into_iter().flatten();
        let named = named.filter_map(|(anchor, at)| {
            Some((anchor.as_str(), [at.get(0)?.as_f64()?, at.get(1)?.as_f64()?]))
        });
        Stated {
            advance: self.glyph_advance_widths.get(name).copied(),
            bounds: self.glyph_boxes.get(name).map(|c| bounds(c.south_west, c.north_east)),
            anchors: anchors(named),
        }
    }
}

fn bounds([west, south]: [f64; 2], [east, north]: [f64; 2]) -> Rect {
    Rect::new(west, -north, east, -south).abs()
}

/// The anchors the engraver may ask for.
fn anchors<'a>(named: impl Iterator<Item = (&'a str, [f64; 2])>) -> Vec<(Anchor, Point)> {
    let known = |name: &str| Anchor::ALL.into_iter().find(|anchor| anchor.name() == name);
    named.filter_map(|(name, [x, y])| Some((known(name)?, Point::new(x, -y)))).collect()
}
