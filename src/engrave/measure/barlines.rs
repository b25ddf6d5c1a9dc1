//! Widths of barlines and repeat signs.

use crate::engrave::engraver::Engraver;
use crate::engrave::place::FinalBarline;
use crate::font::Glyph;
use crate::score::Closing;

/// Width of a closing barline.
pub fn closing_width(engraver: &Engraver<'_>, closing: Closing) -> f64 {
    let d = engraver.fonts.music.defaults();
    match closing {
        Closing::Single => d.thin_barline_thickness,
        Closing::Double => d.thin_barline_thickness * 2.0 + d.barline_separation,
        Closing::Repeat { .. } => {
            d.thick_barline_thickness
                + d.thin_thick_barline_separation
                + d.thin_barline_thickness
                + d.repeat_barline_dot_separation
                + engraver.fonts.music.bounds(Glyph::REPEAT_DOT).width()
        }
    }
}

/// What a final barline is wider than a single one.
pub fn final_extra(engraver: &Engraver<'_>, end: FinalBarline) -> f64 {
    let d = engraver.fonts.music.defaults();
    let thick = |share| d.thin_thick_barline_separation + d.thick_barline_thickness * share;
    end.thickness().map_or(0.0, thick)
}

/// Width of the sign that begins a repeat, without its thick line.
pub fn repeat_start_width(engraver: &Engraver<'_>) -> f64 {
    let d = engraver.fonts.music.defaults();
    d.thin_thick_barline_separation
        + d.thin_barline_thickness
        + d.repeat_barline_dot_separation
        + engraver.fonts.music.bounds(Glyph::REPEAT_DOT).width()
}
