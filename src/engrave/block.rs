//! A block of music to lines: written and spaced bar by bar, broken into lines, and drawn line by
//! line.

use super::draw::system;
use super::draw::system::System;
use super::engraver::Engraver;
use super::measure::opening::{BarOpening, warning_width};
use super::notate::shown::{Shown, shown};
use super::notate::ties::comes_in;
use super::space::bar::SpacedBar;
use super::space::line_start::{LineStart, wish};
use super::space::lines::break_lines;
use super::space::spacing::space;
use super::space::widths::{COLUMN_FULL, LineWidths, NEARLY_FULL};
use crate::parallel::{Each, map_in_order};
use crate::score::{Block, Closing};
use std::sync::Arc;

/// Engraves a block in lines of a width given in staff spaces.
pub fn engrave(engraver: &Engraver<'_>, block: &Block, width: f64) -> Vec<Arc<System>> {
    engrave_lines(engraver, block, width, NEARLY_FULL)
}

/// Engraves a block for a column between others: a last line that fills most of the width is set to
/// all of it, so that the blocks of a grid end alike.
pub fn engrave_column(engraver: &Engraver<'_>, block: &Block, width: f64) -> Vec<Arc<System>> {
    engrave_lines(engraver, block, width, COLUMN_FULL)
}

fn engrave_lines(
    engraver: &Engraver<'_>,
    block: &Block,
    width: f64,
    nearly: f64,
) -> Vec<Arc<System>> {
    let shown = shown(block);
    // A long block is shared out among processors bar by bar, and then line by line.
    let spaced = map_in_order(Each::Small, shown.into_iter().enumerate().collect(), |bar| {
        let (index, shown) = bar;
        space_bar(engraver, block, index, shown)
    });
    let spaced: Vec<SpacedBar> = spaced.into_iter().flatten().collect();
    let lines = break_lines(&spaced, &LineWidths::new(engraver, block, width, nearly));
    let mut spaced = spaced.into_iter();
    let lines = lines
        .into_iter()
        .map(|line| {
            let bars: Vec<SpacedBar> = spaced.by_ref().take(line.to - line.from).collect();
            (line, bars)
        })
        .collect();
    map_in_order(Each::Small, lines, |(line, bars)| {
        Arc::new(system::draw(engraver, block, &line, bars))
    })
}

/// Spaces a bar of a block as its neighbours ask.
fn space_bar(
    engraver: &Engraver<'_>,
    block: &Block,
    index: usize,
    shown: Shown,
) -> Option<SpacedBar> {
    let bar = block.bars.get(index)?;
    let before = index.checked_sub(1).and_then(|i| block.bars.get(i));
    let opening = BarOpening {
        time: before.is_none_or(|before| before.meter != bar.meter),
        repeat: bar.repeat_start,
        joined: before.is_some_and(|before| match before.closing {
            Closing::Repeat { .. } => true,
            Closing::Single | Closing::Double => false,
        }),
    };
    let mut spaced = space(engraver, block, bar, opening, shown);
    spaced.line_start = LineStart {
        line_break: wish(bar, before, shown),
        tied_in: (0..2).any(|voice| comes_in(block, index, voice)),
        warning: warning_width(engraver, &bar.meter, opening),
    };
    if index + 1 == block.bars.len() {
        spaced.close_block(engraver);
    }
    Some(spaced)
}
