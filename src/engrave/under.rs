//! Draws the rows under the staff, each on one baseline.

use super::abbreviation::Shown;
use super::canvas::Canvas;
use super::dynamics;
use super::engraver::Engraver;
use super::rows;
use super::rows::{ROWS, RowItem};
use super::system::{PlacedBar, staff_edges};
use crate::drawing::Kind;
use crate::font::FaceStyle;
use crate::score::Block;

/// Draws dynamics, then every row of words, from the staff downwards.
pub fn draw(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    bars: &[PlacedBar<'_>],
) {
    dynamics::draw(canvas, engraver, block, bars);
    let mut floor = None;
    for row in ROWS {
        let items: Vec<(f64, RowItem)> = bars
            .iter()
            .filter(|bar| bar.measured.shown == Shown::Notes)
            .flat_map(|bar| {
                rows::items(engraver, block, bar.bar, row, &bar.measured.voices)
                    .into_iter()
                    .map(|item| (bar.x(item.at), item))
            })
            .collect();
        if items.is_empty() {
            continue;
        }
        let points = rows::points(engraver, row);
        let size = engraver.pt(points);
        let ascent = engraver.fonts.text.cap_height(FaceStyle::Regular) * size;
        let clear = clear_baseline(canvas, engraver, block, &items, ascent);
        let baseline = match floor {
            Some(floor) => clear.max(floor + engraver.style.between_rows + ascent),
            None => clear,
        };
        let mut lowest: f64 = baseline;
        for (x, item) in items {
            for (run, centre) in item.parts {
                let left = x + centre - run.width * size / 2.0;
                let mut mark = engraver.text(row, run, left, baseline, points);
                mark.ink = item.ink;
                let ink = canvas.push_at(mark, item.place);
                lowest = lowest.max(ink.y1);
            }
        }
        floor = Some(if row == Kind::Words { lowest } else { baseline });
    }
}

/// As near to the ink over it as the gap allows, and never into the staff. Rows drawn before count
/// as ink, but they are nearer than notes may be.
fn clear_baseline(
    canvas: &Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    items: &[(f64, RowItem)],
    ascent: f64,
) -> f64 {
    let staff = staff_edges(block.settings.staff).1;
    let ink = items
        .iter()
        .map(|(x, item)| {
            let reach = engraver.style.column_gap * 2.0;
            canvas.skyline.bottom(x - item.left - reach, x + item.right + reach, staff)
        })
        .fold(staff, f64::max);
    ink.max(staff + engraver.style.row_gap - engraver.style.between_rows)
        + engraver.style.between_rows
        + ascent
}
