//! What a line and a bar begin with: clef, time signature and repeat.

use super::barlines::{dots, line};
use super::canvas::Canvas;
use super::placed_bar::PlacedBar;
use crate::drawing::Kind;
use crate::engrave::measure::opening;
use crate::font::Glyph;
use crate::score::Meter;
use crate::score::settings::Staff;

/// How far the numbers of a time signature stand apart from the middle, each, where no staff of five
/// lines parts them (no source).
const PARTED: f64 = 0.12;

/// Draws the clef of a line.
pub fn clef(canvas: &mut Canvas<'_>, clef: Option<Glyph>) {
    let engraver = canvas.engraver;
    if let Some(glyph) = clef {
        let x = engraver.style.before_clef - engraver.fonts.music.bounds(glyph).x0;
        canvas.push(engraver.glyph(Kind::Clef, glyph, x, 0.0));
    }
}

/// Draws a time signature from an x.
pub fn time(canvas: &mut Canvas<'_>, meter: &Meter, staff: Staff, x: f64) {
    let (glyphs, _) = opening::time_glyphs(canvas.engraver, meter);
    let parted = match staff {
        Staff::FiveLines => 0.0,
        Staff::OneLine | Staff::NoLine => PARTED,
    };
    for (glyph, dx, y) in glyphs {
        let y = if y == 0.0 { y } else { y + parted.copysign(y) };
        canvas.push(canvas.engraver.glyph(Kind::TimeSignature, glyph, x + dx, y));
    }
}

/// Draws what a bar begins with.
pub fn draw(canvas: &mut Canvas<'_>, placed: &PlacedBar<'_>, staff: Staff) {
    let engraver = canvas.engraver;
    let (meter, opening) = (&placed.bar.meter, placed.spaced.opening);
    if opening.time {
        time(canvas, meter, staff, placed.left + engraver.style.after_clef);
    }
    if opening.repeat {
        let left = opening::repeat_left(engraver, meter, opening);
        repeat(canvas, placed, staff, placed.left + left);
    }
}

/// Draws the sign that begins a repeat from an x.
fn repeat(canvas: &mut Canvas<'_>, placed: &PlacedBar<'_>, staff: Staff, mut x: f64) {
    let defaults = canvas.engraver.fonts.music.defaults();
    let thick = defaults.thick_barline_thickness;
    // At the head of a line there is no line before it to share.
    let joined = placed.spaced.opening.joined;
    if joined && placed.first_of_line {
        line(canvas, staff, x - thick, thick);
    } else if !joined {
        x = line(canvas, staff, x, thick);
    }
    x += defaults.thin_thick_barline_separation;
    x = line(canvas, staff, x, defaults.thin_barline_thickness);
    dots(canvas, x + defaults.repeat_barline_dot_separation);
}
