//! Ledger lines of heads beyond the staff.

use super::canvas::Canvas;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::staff::{outer_line, y_of};
use crate::score::settings::Staff;
use kurbo::Rect;

/// Draws the ledger lines of a chord with the centre of its column at `x`.
pub fn draw(canvas: &mut Canvas<'_>, chord: &ChordShape, x: f64, staff: Staff) {
    let engraver = canvas.engraver;
    if staff != Staff::FiveLines {
        return;
    }
    let music = &engraver.fonts.music;
    let defaults = music.defaults();
    let outer = outer_line(staff);
    for (extreme, direction) in [(chord.heads.last(), 1), (chord.heads.first(), -1)] {
        let Some(extreme) = extreme else { continue };
        let mut position = outer + 2;
        while position <= extreme.position * direction {
            // It passes under every head that stands on it or beyond it.
            let beyond = chord.heads.iter().filter(|h| h.position * direction >= position);
            let (left, right) =
                beyond.fold((f64::INFINITY, f64::NEG_INFINITY), |(left, right), h| {
                    let bounds = music.bounds(h.glyph);
                    (left.min(h.x + bounds.x0), right.max(h.x + bounds.x1))
                });
            let y = y_of(position * direction);
            let half = defaults.leger_line_thickness / 2.0;
            let reach = defaults.leger_line_extension;
            let rect = Rect::new(x + left - reach, y - half, x + right + reach, y + half);
            canvas.push(Mark::new(Kind::Ledger, Shape::Box(rect)));
            position += 2;
        }
    }
}
