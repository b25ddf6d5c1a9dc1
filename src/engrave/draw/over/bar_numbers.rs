//! Numbers of bars: over the first of each line, outside all other signs, or over every one, next to the
//! staff (Gould, *Behind Bars*, "Bar numbers", from memory: bars that rest together show their first and
//! last).

use crate::drawing::Kind;
use crate::engrave::draw::canvas::Canvas;
use crate::engrave::draw::placed_bar::PlacedBar;
use crate::engrave::notate::shown::Shown;
use crate::engrave::staff::staff_edges;
use crate::font::FaceStyle;
use crate::score::block_layout::BarNumbers;
use crate::score::{Bar, Block, MarkKind};

/// From the staff or the ink over it to the number of a bar (no source).
const NUMBER_LIFT: f64 = 0.45;
/// What counts as being over it beside a number (no source).
const BESIDE: f64 = 0.3;

/// The number of a bar of a block, as it is printed; nothing for a pickup, which is no bar of its own, for
/// bars that a sign of an earlier one stands for, and where something else numbers the bar.
fn number(block: &Block, bar: &PlacedBar<'_>) -> Option<String> {
    let pickup = usize::from(block.has_pickup());
    let first = usize::try_from(block.settings.layout.first_bar).unwrap_or(1);
    let number = first + bar.index.checked_sub(pickup)?;
    match bar.spaced.shown {
        _ if is_numbered(bar.bar) => None,
        Shown::Rest { part, .. } if part > 0 => None,
        Shown::Rest { bars, .. } if block.settings.layout.bar_numbers == BarNumbers::EveryBar => {
            Some(format!("{number}\u{2013}{}", number + bars - 1))
        }
        Shown::Notes | Shown::Again(_) | Shown::Rest { .. } => Some(number.to_string()),
    }
}

/// Whether a bar has a number of its own over it, as the items of a series.
fn is_numbered(bar: &Bar) -> bool {
    bar.marks.iter().any(|mark| matches!(mark.kind, MarkKind::Number(_)))
}

/// The number of a line's first bar, where lines are numbered. The first line has none, but where the block
/// begins inside a piece.
pub fn of_line(canvas: &mut Canvas<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    let layout = block.settings.layout;
    let Some(bar) = bars.first().filter(|bar| bar.index > 0 || layout.first_bar > 1) else {
        return;
    };
    if layout.bar_numbers == BarNumbers::Lines
        && let Some(number) = number(block, bar)
    {
        draw(canvas, block, &number, 0.0);
    }
}

/// The numbers of all bars of a line, where every one is numbered.
pub fn of_every_bar(canvas: &mut Canvas<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    if block.settings.layout.bar_numbers != BarNumbers::EveryBar {
        return;
    }
    for bar in bars {
        let left = if bar.first_of_line { 0.0 } else { bar.left };
        if let Some(number) = number(block, bar) {
            draw(canvas, block, &number, left);
        }
    }
}

fn draw(canvas: &mut Canvas<'_>, block: &Block, number: &str, left: f64) {
    let engraver = canvas.engraver;
    let points = engraver.style.bar_number * engraver.space_pt;
    let (run, width) = engraver.words(number, FaceStyle::Italic, points);
    let staff_top = staff_edges(block.part.settings.staff).0;
    let top = canvas.skyline.top(left - BESIDE, left + width + BESIDE, staff_top);
    canvas.push(engraver.text(Kind::BarNumber, run, left, top - NUMBER_LIFT, points));
}
