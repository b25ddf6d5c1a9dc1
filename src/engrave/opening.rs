//! What a line and a bar begin with: clef and time signature.

use super::engraver::Engraver;
use super::measured::BarOpening;
use crate::drawing::{Kind, Mark};
use crate::font::Glyph;
use crate::score::Meter;
use crate::score::meter::MeterSign;
use crate::score::settings::Staff;

/// The clef of a staff.
pub fn clef(staff: Staff) -> Option<Glyph> {
    match staff {
        Staff::FiveLines | Staff::OneLine => Some(Glyph::UNPITCHED_PERCUSSION_CLEF_1),
        Staff::NoLine => None,
    }
}

/// Width of the clef with the room around it.
pub fn clef_width(engraver: &Engraver<'_>, staff: Staff) -> f64 {
    clef(staff).map_or(0.0, |glyph| {
        engraver.style.before_clef + engraver.fonts.music.bounds(glyph).width()
    })
}

/// From the middle line to the middle of a time figure: figures are two spaces high, and a little
/// daylight keeps one from running into the other.
const FIGURE_Y: f64 = 1.05;

/// Room on each side of the plus of an additive time signature.
const PLUS_PAD: f64 = 0.2;

/// The glyphs of a time signature with their origins from its left end, and its width. Numbers are
/// centred over each other, a row each in the upper and the lower half of the staff.
pub fn time_glyphs(engraver: &Engraver<'_>, meter: &Meter) -> (Vec<(Glyph, f64, f64)>, f64) {
    let music = &engraver.fonts.music;
    let sign = match meter.sign {
        MeterSign::Numbers => None,
        MeterSign::Common => Some(Glyph::TIME_SIG_COMMON),
        MeterSign::Cut => Some(Glyph::TIME_SIG_CUT_COMMON),
    };
    if let Some(glyph) = sign {
        return (vec![(glyph, -music.bounds(glyph).x0, 0.0)], music.bounds(glyph).width());
    }
    let mut upper: Vec<Glyph> = Vec::new();
    for (index, number) in meter.upper.iter().enumerate() {
        if index > 0 {
            upper.push(Glyph::TIME_SIG_PLUS);
        }
        upper.extend(digits(*number));
    }
    let lower: Vec<Glyph> = digits(meter.lower).collect();
    let advance = |glyph: Glyph| {
        music.advance(glyph) + if glyph == Glyph::TIME_SIG_PLUS { 2.0 * PLUS_PAD } else { 0.0 }
    };
    let width = |glyphs: &[Glyph]| glyphs.iter().map(|g| advance(*g)).sum::<f64>();
    let (upper_width, lower_width) = (width(&upper), width(&lower));
    let whole = upper_width.max(lower_width);
    let mut placed = Vec::new();
    for (glyphs, row_width, y) in [(upper, upper_width, -FIGURE_Y), (lower, lower_width, FIGURE_Y)]
    {
        let mut x = (whole - row_width) / 2.0;
        for glyph in glyphs {
            let pad = if glyph == Glyph::TIME_SIG_PLUS { PLUS_PAD } else { 0.0 };
            placed.push((glyph, x + pad, y));
            x += advance(glyph);
        }
    }
    (placed, whole)
}

/// Width of what a bar begins with.
pub fn opening_width(engraver: &Engraver<'_>, meter: &Meter, opening: BarOpening) -> f64 {
    let mut width = 0.0;
    if opening.time {
        width += time_width(engraver, meter) + engraver.style.after_time;
    }
    if opening.repeat {
        let d = engraver.fonts.music.defaults();
        width += if opening.joined { 0.0 } else { d.thick_barline_thickness };
        width += d.thin_thick_barline_separation
            + d.thin_barline_thickness
            + d.repeat_barline_dot_separation
            + engraver.fonts.music.bounds(Glyph::REPEAT_DOT).width();
    }
    width
}

/// Width of a time signature.
pub fn time_width(engraver: &Engraver<'_>, meter: &Meter) -> f64 {
    time_glyphs(engraver, meter).1
}

/// From a time signature that warns at the end of a line to the end of the staff.
const AFTER_WARNING: f64 = 0.4;

/// Room at the end of the line before a bar for the time signature that warns of its own.
pub fn warning_width(engraver: &Engraver<'_>, meter: &Meter, opening: BarOpening) -> f64 {
    match opening.time {
        true => engraver.style.after_clef + time_width(engraver, meter) + AFTER_WARNING,
        false => 0.0,
    }
}

/// The marks of a time signature from an x.
pub fn time_marks(engraver: &Engraver<'_>, meter: &Meter, x: f64) -> Vec<Mark> {
    time_glyphs(engraver, meter)
        .0
        .into_iter()
        .map(|(glyph, dx, y)| engraver.glyph(Kind::TimeSignature, glyph, x + dx, y))
        .collect()
}

fn digits(number: u32) -> impl Iterator<Item = Glyph> {
    let text: Vec<u32> = number.to_string().chars().filter_map(|c| c.to_digit(10)).collect();
    text.into_iter().map(Glyph::time_digit)
}
