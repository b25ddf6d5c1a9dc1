//! Dynamics and hairpins, in one row under the staff.

use super::hairpins::{DynamicShape, shapes};
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::carried::Carried;
use crate::engrave::draw::outline;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::measure::dashes::dashes;
use crate::engrave::measure::dynamics::width;
use crate::engrave::staff::staff_edges;
use crate::score::PlayerPart;
use kurbo::Point;

/// Half the opening of a hairpin (Gould gives an opening of one to one and a half spaces).
const HALF_OPENING: f64 = 0.55;
/// Half the height of the tallest dynamic letters (no source).
const LETTER_HALF: f64 = 0.8;
/// From the middle of a hairpin to the baseline of the letters beside it (no source).
const BASELINE: f64 = 0.5;
/// Beside letters and hairpins what counts as being over them (no source).
const CLEAR: f64 = 0.2;

/// Draws the row.
pub fn draw(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    carried: Carried<'_>,
    bars: &[PlacedBar<'_>],
) {
    let engraver = canvas.engraver;
    let shapes = shapes(engraver, carried, bars);
    let staff = staff_edges(part.settings.staff).1;
    let lowest = shapes
        .iter()
        .map(|shape| {
            let (x0, x1) = shape.ink(engraver);
            canvas.skyline.bottom(x0 - CLEAR, x1 + CLEAR, staff)
        })
        .fold(staff, f64::max);
    let middle = lowest + engraver.style.row_gap + LETTER_HALF;
    for shape in &shapes {
        draw_one(canvas, shape, middle);
    }
}

fn draw_one(canvas: &mut Canvas<'_>, shape: &DynamicShape, middle: f64) {
    let engraver = canvas.engraver;
    match shape {
        DynamicShape::Letters { x, glyphs, span } => {
            let mut left = x - width(engraver, glyphs) / 2.0;
            for glyph in glyphs {
                let mark = engraver.glyph(Kind::Dynamic, *glyph, left, middle + BASELINE);
                canvas.push_at(mark, Some(*span));
                left += engraver.fonts.music.advance(*glyph);
            }
        }
        DynamicShape::Hairpin { from, to, open, span } => {
            let thickness = engraver.fonts.music.defaults().hairpin_thickness;
            for side in [-HALF_OPENING, HALF_OPENING] {
                let path = outline::stroke(
                    Point::new(*from, middle + side * open.0),
                    Point::new(*to, middle + side * open.1),
                    thickness,
                );
                let mark = Mark::new(Kind::Hairpin, Shape::Path(path));
                canvas.push_at(mark, Some(*span));
            }
        }
        DynamicShape::Gradual { from, run, dashes: first, to, span } => {
            let points = engraver.points(engraver.style.words);
            let baseline = middle + BASELINE;
            let words = engraver.text(Kind::Gradual, run.clone(), *from, baseline, points);
            canvas.push_at(words, Some(*span));
            let thickness = engraver.fonts.music.defaults().hairpin_thickness;
            for dash in dashes(*first, *to, middle, thickness) {
                canvas.push_at(Mark::new(Kind::Gradual, Shape::Box(dash)), Some(*span));
            }
        }
    }
}
