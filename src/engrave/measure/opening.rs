//! What a line and a bar begin with: clef, time signature and repeat.

use super::barlines::repeat_start_width;
use crate::engrave::engraver::Engraver;
use crate::font::Glyph;
use crate::score::Meter;
use crate::score::meter::MeterSign;

/// From the middle line to the middle of a time figure: figures are two spaces high, and a little
/// daylight keeps one from running into the other (no source).
const FIGURE_Y: f64 = 1.05;
/// Room on each side of the plus of an additive time signature (no source).
const PLUS_PAD: f64 = 0.2;
/// From a time signature that warns at the end of a line to the end of the staff (no source).
const AFTER_WARNING: f64 = 0.4;
/// The room after a clef that no time signature follows, as a factor on the room before one (no
/// source).
const BARE_CLEF: f64 = 0.8;

/// What a bar begins with.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BarOpening {
    /// It shows its time signature.
    pub time: bool,
    /// It begins a repeat.
    pub repeat: bool,
    /// The bar before ends a repeat: both share its thick line.
    pub joined: bool,
}

/// Width of a clef with the room before it.
fn clef_width(engraver: &Engraver<'_>, clef: Option<Glyph>) -> f64 {
    clef.map_or(0.0, |glyph| {
        engraver.style.before_clef + engraver.fonts.music.bounds(glyph).width()
    })
}

/// Width of what a line begins with before its first bar: its clef, and some room after it where no
/// time signature follows.
pub fn line_lead(engraver: &Engraver<'_>, clef: Option<Glyph>, time: bool) -> f64 {
    let clef = clef_width(engraver, clef);
    if time || clef == 0.0 { clef } else { clef + engraver.style.after_clef * BARE_CLEF }
}

/// The glyphs of a time signature with their origins from its left end, and its width. Numbers are
/// centred over each other, a row each in the upper and the lower half of the staff.
pub fn time_glyphs(engraver: &Engraver<'_>, meter: &Meter) -> (Vec<(Glyph, f64, f64)>, f64) {
    let music = &engraver.fonts.music;
    let sign =
        |glyph: Glyph| (vec![(glyph, -music.bounds(glyph).x0, 0.0)], music.bounds(glyph).width());
    match meter.sign {
        MeterSign::Numbers => time_numbers(engraver, meter),
        MeterSign::Common => sign(Glyph::TIME_SIG_COMMON),
        MeterSign::Cut => sign(Glyph::TIME_SIG_CUT_COMMON),
        MeterSign::Unprinted => (Vec::new(), 0.0),
    }
}

fn time_numbers(engraver: &Engraver<'_>, meter: &Meter) -> (Vec<(Glyph, f64, f64)>, f64) {
    let music = &engraver.fonts.music;
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

/// From the left end of a bar to the sign of a repeat that it begins with.
pub fn repeat_left(engraver: &Engraver<'_>, meter: &Meter, opening: BarOpening) -> f64 {
    let style = engraver.style;
    match opening.time {
        true => style.after_clef + time_width(engraver, meter) + style.before_barline,
        false => 0.0,
    }
}

/// Width of what a bar begins with.
pub fn opening_width(engraver: &Engraver<'_>, meter: &Meter, opening: BarOpening) -> f64 {
    match opening {
        BarOpening { repeat: true, joined, .. } => {
            let thick = engraver.fonts.music.defaults().thick_barline_thickness;
            let thick = if joined { 0.0 } else { thick };
            repeat_left(engraver, meter, opening) + thick + repeat_start_width(engraver)
        }
        BarOpening { time: true, .. } => time_width(engraver, meter) + engraver.style.after_time,
        BarOpening { .. } => 0.0,
    }
}

/// Width of a time signature.
pub fn time_width(engraver: &Engraver<'_>, meter: &Meter) -> f64 {
    time_glyphs(engraver, meter).1
}

/// Room at the end of the line before a bar for the time signature that warns of its own.
pub fn warning_width(engraver: &Engraver<'_>, meter: &Meter, opening: BarOpening) -> f64 {
    match opening.time {
        true => engraver.style.after_clef + time_width(engraver, meter) + AFTER_WARNING,
        false => 0.0,
    }
}

fn digits(number: u32) -> impl Iterator<Item = Glyph> {
    let text: Vec<u32> = number.to_string().chars().filter_map(|c| c.to_digit(10)).collect();
    text.into_iter().map(Glyph::time_digit)
}
