//! The SMuFL metadata file (SMuFL 1.4, "Metadata for SMuFL-compliant fonts").

use std::collections::BTreeMap;

use serde::Serialize;

use crate::defaults::{ENGRAVING_DEFAULTS, EngravingDefaults};
use crate::error::Error;
use crate::font::{Compiled, FAMILY, VERSION};
use crate::source::UNITS_PER_SPACE;

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Metadata<'a> {
    font_name: &'a str,
    font_version: f64,
    engraving_defaults: EngravingDefaults,
    glyph_advance_widths: BTreeMap<&'a str, f64>,
    glyph_b_boxes: BTreeMap<&'a str, BBox>,
    glyphs_with_anchors: BTreeMap<&'a str, BTreeMap<&'a str, [f64; 2]>>,
}

#[derive(Serialize)]
struct BBox {
    #[serde(rename = "bBoxNE")]
    north_east: [f64; 2],
    #[serde(rename = "bBoxSW")]
    south_west: [f64; 2],
}

/// Font units to staff spaces, to the thousandth (half a font unit).
fn spaces(units: f64) -> f64 {
    (units / UNITS_PER_SPACE * 1000.0).round() / 1000.0
}

pub(crate) fn write(glyphs: &[Compiled<'_>]) -> Result<String, Error> {
    let metadata = Metadata {
        font_name: FAMILY,
        font_version: VERSION,
        engraving_defaults: ENGRAVING_DEFAULTS,
        glyph_advance_widths: glyphs
            .iter()
            .map(|glyph| (glyph.name(), spaces(f64::from(glyph.advance))))
            .collect(),
        glyph_b_boxes: glyphs.iter().map(|glyph| (glyph.name(), bounds(glyph))).collect(),
        glyphs_with_anchors: glyphs
            .iter()
            .filter(|glyph| !glyph.source.anchors.is_empty())
            .map(|glyph| (glyph.name(), anchors(glyph)))
            .collect(),
    };
    let mut text =
        serde_json::to_string_pretty(&metadata).map_err(|fault| Error::Table(fault.to_string()))?;
    text.push('\n');
    Ok(text)
}

fn bounds(glyph: &Compiled<'_>) -> BBox {
    let bbox = glyph.simple.bbox;
    let corner = |x: i16, y: i16| [spaces(f64::from(x)), spaces(f64::from(y))];
    BBox { north_east: corner(bbox.x_max, bbox.y_max), south_west: corner(bbox.x_min, bbox.y_min) }
}

fn anchors<'a>(glyph: &'a Compiled<'_>) -> BTreeMap<&'a str, [f64; 2]> {
    glyph
        .source
        .anchors
        .iter()
        .map(|(name, place)| (name.as_str(), [spaces(place.x), spaces(place.y)]))
        .collect()
}
