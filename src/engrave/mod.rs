//! Score to systems: note values, beams, ornaments, spacing, rows under the staff.
//!
//! All lengths in this folder are staff spaces unless a name says otherwise; x runs right, y runs
//! down, and y is nought on the middle line of the staff. Time is exact up to [`measured`]; from
//! there on there are positions.
//!
//! The order of work: [`rhythm`] writes hits as values, [`beaming`] groups them, [`chord`] shapes
//! them, [`measured`] finds the room a bar wants, [`lines`] breaks the block, and [`system`] draws
//! each line.

pub mod abbreviation;
pub mod barlines;
pub mod beam;
pub mod beaming;
pub mod canvas;
pub mod chord;

pub mod curve;
pub mod dynamics;
pub mod engraver;
pub mod gaps;
pub mod grace;
pub mod inscription;
pub mod key;
pub mod lines;
pub mod measured;
pub mod note;
pub mod opening;
pub mod over;
pub mod pauses;
pub mod rhythm;
pub mod rows;
pub mod shelf;
pub mod skyline;
pub mod style;
pub mod symbol;
pub mod system;
pub mod ties;
pub mod tuplets;
pub mod under;
pub mod value;

pub use engraver::Engraver;
pub use style::Style;
pub use system::System;

use crate::score::Block;
use crate::score::Closing;
use measured::{BarOpening, SpacedBar};

/// Engraves a block in lines of a width given in staff spaces.
pub fn engrave(engraver: &Engraver<'_>, block: &Block, width: f64) -> Vec<System> {
    engrave_lines(engraver, block, width, lines::NEARLY_FULL)
}

/// Engraves a block for a column between others: a last line that fills most of the width is set to
/// all of it, so that the blocks of a grid end alike.
pub fn engrave_column(engraver: &Engraver<'_>, block: &Block, width: f64) -> Vec<System> {
    engrave_lines(engraver, block, width, lines::COLUMN_FULL)
}

fn engrave_lines(engraver: &Engraver<'_>, block: &Block, width: f64, nearly: f64) -> Vec<System> {
    let mut measured = Vec::with_capacity(block.bars.len());
    let shown = abbreviation::shown(block);
    for (index, (bar, shown)) in block.bars.iter().zip(shown).enumerate() {
        let before = index.checked_sub(1).and_then(|i| block.bars.get(i));
        let opening = BarOpening {
            time: before.is_none_or(|before| before.meter != bar.meter),
            repeat: bar.repeat_start,
            joined: before.is_some_and(|before| matches!(before.closing, Closing::Repeat { .. })),
        };
        let line_break = lines::wish(bar, before, shown);
        let warning = opening::warning_width(engraver, &bar.meter, opening);
        let mut bar = measured::measure(engraver, block, bar, opening, shown);
        bar.line_break = line_break;
        bar.warning = warning;
        bar.tied_in = (0..2).any(|voice| ties::comes_in(block, index, voice));
        if index + 1 == block.bars.len() {
            bar.close_block(engraver);
        }
        measured.push(bar);
    }
    let widths = lines::LineWidths {
        line: width,
        lead: system::line_lead(engraver, block, measured.first()),
        later_lead: system::line_lead(engraver, block, None),
        tied: ties::ROOM,
        shrinks: engraver.style.one_line,
        nearly,
        limits: (engraver.style.tightest, engraver.style.loosest),
        forced: match engraver.style.one_line {
            true => Some(block.bars.len()),
            false => block.settings.bars_per_line.map(|n| n as usize),
        },
    };
    lines::break_lines(&measured, &widths)
        .iter()
        .map(|line| system::draw(engraver, block, line, bars_of(&measured, line)))
        .collect()
}

fn bars_of<'a>(measured: &'a [SpacedBar], line: &lines::SetLine) -> &'a [SpacedBar] {
    measured.get(line.from..line.to).unwrap_or(&[])
}
