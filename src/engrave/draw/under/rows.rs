//! The rows of words under the staff, each on one baseline.

use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::measure::rows;
use crate::engrave::measure::rows::{RowItem, UnderRow};
use crate::engrave::notate::shown::Shown;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::PlayerPart;
use crate::score::settings::StickingPlace;
use kurbo::Rect;

/// How far beside words ink counts as being over them, as a factor on the gap between columns (no
/// source).
const REACH: f64 = 2.0;
/// The size of the label of a row against that of words, and how much smaller it may be where a letter
/// stands near it (no source).
const LABEL: f64 = 0.85;
const SMALLEST_LABEL: f64 = 0.75;

/// Draws the rows from the staff downwards.
pub fn draw(canvas: &mut Canvas<'_>, part: &PlayerPart, bars: &[PlacedBar<'_>]) {
    let mut floor = None;
    let above = part.settings.sticking == StickingPlace::Above;
    let rows = UnderRow::ALL.map(|row| match above && UnderRow::OVER.contains(&row) {
        true => (row, Vec::new()),
        false => (row, items(canvas, part, bars, row)),
    });
    let labelled =
        rows.iter().filter(|(row, items)| row.is_letters() && !items.is_empty()).count() > 1;
    for (row, items) in rows {
        if items.is_empty() {
            continue;
        }
        let first = items.iter().map(|(x, item)| x - item.left).fold(f64::INFINITY, f64::min);
        let set = draw_row(canvas, part, row, items, floor);
        floor = Some(set.floor);
        if labelled && row.is_letters() {
            label(canvas, row, set.baseline, first);
        }
    }
}

/// Writes whose letters a row has at its left end, where there is room before the `first` of them.
fn label(canvas: &mut Canvas<'_>, row: UnderRow, baseline: f64, first: f64) {
    let engraver = canvas.engraver;
    let words = match row {
        UnderRow::Sticking => engraver.printed.hands,
        UnderRow::Pedalling => engraver.printed.feet,
        UnderRow::OtherSticking | UnderRow::OtherPedalling | UnderRow::Counts | UnderRow::Words => {
            return;
        }
    };
    let points = engraver.points(engraver.style.words) * LABEL;
    let (run, width) = engraver.words(words, FaceStyle::Italic, points);
    let share = ((first - engraver.style.word_gap) / width).min(1.0);
    if share >= SMALLEST_LABEL {
        canvas.push(engraver.text(row.kind(), run, 0.0, baseline, points * share));
    }
}

/// Where a row was set.
struct SetRow {
    baseline: f64,
    /// What it reaches down to.
    floor: f64,
}

/// What a line has in one row, each with the x of its column.
pub fn items(
    canvas: &Canvas<'_>,
    part: &PlayerPart,
    bars: &[PlacedBar<'_>],
    row: UnderRow,
) -> Vec<(f64, RowItem)> {
    bars.iter()
        .filter(|bar| bar.spaced.shown == Shown::Notes)
        .flat_map(|bar| {
            rows::items(canvas.engraver, part, bar.bar, row, &bar.spaced.voices)
                .into_iter()
                .map(|item| (bar.x(item.at), item))
        })
        .collect()
}

/// Draws a row under `floor`, what the row before it reaches down to.
fn draw_row(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    row: UnderRow,
    items: Vec<(f64, RowItem)>,
    floor: Option<f64>,
) -> SetRow {
    let engraver = canvas.engraver;
    let points = row.points(engraver);
    let size = engraver.pt(points);
    let ascent = row.ascent(engraver, part);
    let clear = clear_baseline(canvas, part, &items, ascent);
    let baseline = match floor {
        Some(floor) => clear.max(floor + engraver.style.between_rows + ascent),
        None => clear,
    };
    let mut lowest: f64 = baseline;
    for (x, item) in items {
        if row.is_blank(part) {
            rule(canvas, (x - item.left, x + item.right), baseline);
            continue;
        }
        for (run, centre) in item.parts {
            let left = x + centre - run.width * size / 2.0;
            let mut mark = engraver.text(row.kind(), run, left, baseline, points);
            mark.ink = item.ink;
            let ink = canvas.push_at(mark, item.place);
            lowest = lowest.max(ink.y1);
        }
    }
    let floor = match row {
        UnderRow::Words => lowest,
        // Capitals and figures have no descenders; brackets have.
        UnderRow::Sticking | UnderRow::Pedalling | UnderRow::Counts => baseline,
        UnderRow::OtherSticking | UnderRow::OtherPedalling => lowest,
    };
    SetRow { baseline, floor }
}

/// Draws a rule to write on.
fn rule(canvas: &mut Canvas<'_>, (left, right): (f64, f64), baseline: f64) {
    let thickness = canvas.engraver.fonts.music.defaults().staff_line_thickness;
    let rect = Rect::new(left, baseline, right, baseline + thickness);
    canvas.push(Mark::new(Kind::Blank, Shape::Box(rect)));
}

/// As near to the ink over it as the gap allows, and never into the staff. Rows drawn before count
/// as ink, but they are nearer than notes may be.
fn clear_baseline(
    canvas: &Canvas<'_>,
    part: &PlayerPart,
    items: &[(f64, RowItem)],
    ascent: f64,
) -> f64 {
    let engraver = canvas.engraver;
    let staff = staff_edges(part.settings.staff).1;
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
