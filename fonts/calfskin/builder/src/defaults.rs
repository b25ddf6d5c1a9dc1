//! The engraving defaults of Calfskin, in staff spaces.

use serde::Serialize;

/// SMuFL 1.4 "engravingDefaults". Every value is a length in staff spaces.
#[derive(Clone, Copy, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)] // The names are SMuFL's and are explained there.
pub struct EngravingDefaults {
    pub arrow_shaft_thickness: f64,
    pub barline_separation: f64,
    pub beam_spacing: f64,
    pub beam_thickness: f64,
    pub bracket_thickness: f64,
    pub dashed_barline_dash_length: f64,
    pub dashed_barline_gap_length: f64,
    pub dashed_barline_thickness: f64,
    pub h_bar_thickness: f64,
    pub hairpin_thickness: f64,
    pub leger_line_extension: f64,
    pub leger_line_thickness: f64,
    pub lyric_line_thickness: f64,
    pub octave_line_thickness: f64,
    pub pedal_line_thickness: f64,
    pub repeat_barline_dot_separation: f64,
    pub repeat_ending_line_thickness: f64,
    pub slur_endpoint_thickness: f64,
    pub slur_midpoint_thickness: f64,
    pub staff_line_thickness: f64,
    pub stem_thickness: f64,
    pub sub_bracket_thickness: f64,
    pub text_enclosure_thickness: f64,
    pub thick_barline_thickness: f64,
    pub thin_barline_thickness: f64,
    pub thin_thick_barline_separation: f64,
    pub tie_endpoint_thickness: f64,
    pub tie_midpoint_thickness: f64,
    pub tuplet_bracket_thickness: f64,
}

/// The one place for these numbers; the glyph sources are drawn to match them.
pub const ENGRAVING_DEFAULTS: EngravingDefaults = EngravingDefaults {
    arrow_shaft_thickness: 0.16,
    barline_separation: 0.4,
    beam_spacing: 0.25,
    beam_thickness: 0.5,
    bracket_thickness: 0.5,
    dashed_barline_dash_length: 0.5,
    dashed_barline_gap_length: 0.25,
    dashed_barline_thickness: 0.16,
    h_bar_thickness: 1.0,
    hairpin_thickness: 0.16,
    leger_line_extension: 0.4,
    leger_line_thickness: 0.16,
    lyric_line_thickness: 0.14,
    octave_line_thickness: 0.14,
    pedal_line_thickness: 0.14,
    repeat_barline_dot_separation: 0.2,
    repeat_ending_line_thickness: 0.16,
    slur_endpoint_thickness: 0.1,
    slur_midpoint_thickness: 0.24,
    staff_line_thickness: 0.12,
    stem_thickness: 0.12,
    sub_bracket_thickness: 0.16,
    text_enclosure_thickness: 0.16,
    thick_barline_thickness: 0.5,
    thin_barline_thickness: 0.16,
    thin_thick_barline_separation: 0.4,
    tie_endpoint_thickness: 0.1,
    tie_midpoint_thickness: 0.24,
    tuplet_bracket_thickness: 0.14,
};
