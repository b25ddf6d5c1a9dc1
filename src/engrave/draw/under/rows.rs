//! The rows of words under the staff, each on one baseline.

use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::measure::rows;
use crate::engrave::measure::rows::{RowItem, UnderRow};
use crate::engrave::notate::shown::Shown;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::Block;

/// How far beside words ink counts as being over them, as a factor on the gap between columns (no
/// source).
const REACH: f64 = 2.0;

/// Draws the rows from the staff downwards.
pub fn draw(canvas: &mut Canvas<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    let mut floor = None;
    for row in UnderRow::ALL {
        let items = items(canvas, block, bars, row);
        if !items.is_empty() {
            floor = Some(draw_row(canvas, block, row, items, floor));
        }
    }
}

/// What a line has in one row, each with the x of its column.
fn items(
    canvas: &Canvas<'_>,
    block: &Block,
    bars: &[PlacedBar<'_>],
    row: UnderRow,
) -> Vec<(f64, RowItem)> {
    bars.iter()
        .filter(|bar| bar.spaced.shown == Shown::Notes)
        .flat_map(|bar| {
            rows::items(canvas.engraver, block, bar.bar, row, &bar.spaced.voices)
                .into_iter()
                .map(|item| (bar.x(item.at), item))
        })
        .collect()
}

/// Draws a row under `floor`, what the row before it reaches down to; the same of this row.
fn draw_row(
    canvas: &mut Canvas<'_>,
    block: &Block,
    row: UnderRow,
    items: Vec<(f64, RowItem)>,
    floor: Option<f64>,
) -> f64 {
    let engraver = canvas.engraver;
    let points = row.points(engraver);
    let size = engraver.pt(points);
    let ascent = engraver.fonts.text.cap_height(FaceStyle::Regular) * size;
    let clear = clear_baseline(canvas, block, &items, ascent);
    let baseline = match floor {
        Some(floor) => clear.max(floor + engraver.style.between_rows + ascent),
        None => clear,
    };
    let mut lowest: f64 = baseline;
    for (x, item) in items {
        for (run, centre) in item.parts {
            let left = x + centre - run.width * size / 2.0;
            let mut mark = engraver.text(row.kind(), run, left, baseline, points);
            mark.ink = item.ink;
            let ink = canvas.push_at(mark, item.place);
            lowest = lowest.max(ink.y1);
        }
    }
    match row {
        UnderRow::Words => lowest,
        // Capitals and figures have no descenders.
        UnderRow::Sticking | UnderRow::Pedalling | UnderRow::Counts => baseline,
    }
}

/// As near to the ink over it as the gap allows, and never into the staff. Rows drawn before count
/// as ink, but they are nearer than notes may be.
fn clear_baseline(
    canvas: &Canvas<'_>,
    block: &Block,
    items: &[(f64, RowItem)],
    ascent: f64,
) -> f64 {
    let engraver = canvas.engraver;
    let staff = staff_edges(block.settings.staff).1;
    let ink = items
        .iter()
        .map(|(x, item)| {
            let reach = engraver.style.column_gap * REACH;
            canvas.skyline.bottom(x - item.left - reach, x + item.right + reach, staff)
        })
        .fold(staff, f64::max);
    ink.max(staff + engraver.style.row_gap - engraver.style.between_rows)
        + engraver.style.between_rows
        + ascent
}
