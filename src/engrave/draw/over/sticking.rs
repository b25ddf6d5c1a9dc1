//! Letters of the hands over the staff, next to the notes.

use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::draw::under::rows::items;
use crate::engrave::measure::rows::UnderRow;
use crate::engrave::staff::staff_edges;
use crate::score::PlayerPart;
use crate::score::settings::StickingPlace;

/// How far beside letters ink counts as being under them, as a factor on the gap between columns (no
/// source).
const REACH: f64 = 2.0;

/// Draws the letters of a line, each row on one baseline over all that is drawn so far at its places.
pub fn draw(canvas: &mut Canvas<'_>, part: &PlayerPart, bars: &[PlacedBar<'_>]) {
    if part.settings.sticking != StickingPlace::Above {
        return;
    }
    let engraver = canvas.engraver;
    let staff = staff_edges(part.settings.staff).0;
    for row in UnderRow::OVER {
        let items = items(canvas, part, bars, row);
        let points = row.points(engraver);
        let size = engraver.pt(points);
        let reach = engraver.style.column_gap * REACH;
        let clear = items.iter().map(|(x, item)| {
            canvas.skyline.top(x - item.left - reach, x + item.right + reach, staff)
        });
        let baseline = clear.fold(staff, f64::min) - engraver.style.between_rows;
        for (x, item) in items {
            for (run, centre) in item.parts {
                let left = x + centre - run.width * size / 2.0;
                canvas.push_at(engraver.text(row.kind(), run, left, baseline, points), item.place);
            }
        }
    }
}
