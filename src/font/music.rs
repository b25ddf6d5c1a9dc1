//! A SMuFL music font: glyph outlines, boxes and anchors in staff spaces, y down.

use super::{FontError, Glyph};
use kurbo::{BezPath, Point, Rect};

/// A SMuFL font with its metadata.
#[derive(Debug)]
pub struct MusicFont {
    defaults: Defaults,
}

/// The font's `engravingDefaults` (SMuFL 1.4, chapter "Metadata for SMuFL fonts"), in staff spaces.
#[derive(Clone, Debug, PartialEq)]
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
    pub hairpin_thickness: f64,
    pub text_enclosure_thickness: f64,
    pub h_bar_thickness: f64,
}

/// Named points of a glyph (SMuFL 1.4, "glyphsWithAnchors").
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each variant is the SMuFL anchor of the same name")]
pub enum Anchor {
    StemUpSE,
    StemDownNW,
    StemUpNW,
    StemDownSW,
    CutOutNE,
    CutOutSE,
    CutOutSW,
    CutOutNW,
    GraceNoteSlashSW,
    GraceNoteSlashNE,
    GraceNoteSlashNW,
    GraceNoteSlashSE,
    RepeatOffset,
    OpticalCenter,
    NoteheadOrigin,
}

impl MusicFont {
    /// Calfskin, the font that is part of the program.
    ///
    /// # Errors
    /// Says what is wrong with the font.
    pub fn calfskin() -> Result<Self, FontError> {
        Err(FontError("not read".into()))
    }

    /// Line weights and distances.
    pub fn defaults(&self) -> &Defaults {
        &self.defaults
    }

    /// Whether the font has the glyph.
    pub fn has(&self, _glyph: Glyph) -> bool {
        false
    }

    /// The box of a glyph's ink around its origin; empty where the font lacks it.
    pub fn bounds(&self, _glyph: Glyph) -> Rect {
        Rect::ZERO
    }

    /// How far the next glyph's origin lies to the right.
    pub fn advance(&self, _glyph: Glyph) -> f64 {
        0.0
    }

    /// A named point.
    pub fn anchor(&self, _glyph: Glyph, _anchor: Anchor) -> Option<Point> {
        None
    }

    /// The outline around the origin, nonzero winding; empty where the font lacks the glyph.
    pub fn outline(&self, _glyph: Glyph) -> BezPath {
        BezPath::new()
    }
}
