//! A block of music to lines: written and spaced bar by bar, broken into lines, and drawn line by
//! line.

use super::draw::carried::carried;
use super::draw::names;
use super::draw::system;
use super::draw::system::System;
use super::engraver::Engraver;
use super::measure::opening::{BarOpening, warning_width};
use super::notate::shown::{Shown, shown};
use super::notate::ties::comes_in;
use super::place::{BlockPlace, Edges};
use super::space::bar::SpacedBar;
use super::space::line_start::{LineStart, wish};
use super::space::lines::{SetLine, break_lines};
use super::space::players;
use super::space::spacing::space;
use super::space::widths::LineWidths;
use crate::parallel::{Each, map_in_order};
use crate::score::{Block, Closing};
use std::sync::Arc;

/// A block in lines.
#[derive(Clone, Debug)]
pub struct Engraved {
    /// The lines.
    pub systems: Vec<Arc<System>>,
    /// Whether it fits its width whatever it shows at its ends: no bar had to be made smaller, and no
    /// line got fewer bars than it should have.
    pub fits: bool,
}

/// Engraves a block for its place.
pub fn engrave(engraver: &Engraver<'_>, block: &Block, place: BlockPlace) -> Engraved {
    let edges = place.edges;
    let shown = shown_of_all(block);
    // A long block is shared out among processors bar by bar, and then line by line.
    let spaced = map_in_order(Each::Small, shown.iter().enumerate().collect(), |bar| {
        space_bar(engraver, block, bar, edges)
    });
    let spaced: Vec<SpacedBar> = spaced.into_iter().flatten().collect();
    let lines = break_lines(&spaced, &LineWidths::new(engraver, block, place));
    let all_fits = |lines: &[SetLine]| lines.iter().all(|line| line.scale >= 1.0 && !line.cut);
    let fits = match (edges.shows_opening(), shown.first()) {
        (false, Some(first)) => {
            let widest = BlockPlace { edges: edges.with_opening(), ..place };
            let mut bars = spaced.clone();
            let first = space_bar(engraver, block, (0, first), widest.edges);
            bars.splice(..bars.len().min(1), first);
            all_fits(&break_lines(&bars, &LineWidths::new(engraver, block, widest)))
        }
        _ => all_fits(&lines),
    };
    let of_players: Vec<_> = block.parts().map(|part| carried(part, &lines)).collect();
    let mut spaced = spaced.into_iter();
    let lines = lines
        .into_iter()
        .enumerate()
        .map(|(nth, line)| {
            let bars: Vec<SpacedBar> = spaced.by_ref().take(line.to - line.from).collect();
            let carried: Vec<_> =
                of_players.iter().filter_map(|lines| lines.get(nth)).copied().collect();
            (line, carried, bars)
        })
        .collect();
    let systems = map_in_order(Each::Small, lines, |(line, carried, bars)| {
        Arc::new(system::draw(engraver, block, place, (&line, &carried), bars))
    });
    Engraved { systems, fits }
}

/// How each bar is printed, for each player. Bars rest as one only where all players do.
fn shown_of_all(block: &Block) -> Vec<Vec<Shown>> {
    let own: Vec<Vec<Shown>> = block.parts().map(shown).collect();
    let bar = |index: usize| {
        let shown: Vec<Shown> = own.iter().filter_map(|shown| shown.get(index)).copied().collect();
        let together = shown.iter().all(|one| Some(one) == shown.first());
        let alone = |one: Shown| match one {
            Shown::Rest { .. } if !together => Shown::Notes,
            Shown::Notes | Shown::Again(_) | Shown::Rest { .. } => one,
        };
        shown.into_iter().map(alone).collect()
    };
    (0..block.part.bars.len()).map(bar).collect()
}

/// Spaces a bar of a block as its neighbours ask.
fn space_bar(
    engraver: &Engraver<'_>,
    block: &Block,
    (index, shown): (usize, &Vec<Shown>),
    edges: Edges,
) -> Option<SpacedBar> {
    let bar = block.part.bars.get(index)?;
    let before = index.checked_sub(1).and_then(|i| block.part.bars.get(i));
    let opening = BarOpening {
        time: bar.meter.is_measured()
            && before.map_or(edges.time, |before| !before.meter.is_same_time(&bar.meter)),
        repeat: bar.repeat_start,
        joined: before.is_some_and(|before| match before.closing {
            Closing::Repeat { .. } => true,
            Closing::Single | Closing::Double => false,
        }),
    };
    let own = block.parts().zip(shown).filter_map(|(part, shown)| {
        Some(space(engraver, part, part.bars.get(index)?, opening, *shown))
    });
    let mut spaced = match block.others.is_empty() {
        true => own.into_iter().next()?,
        false => players::join(engraver, bar, own.collect())?,
    };
    spaced.line_start = LineStart {
        line_break: wish(bar, before, spaced.shown),
        tied_in: block.parts().any(|part| (0..2).any(|voice| comes_in(part, index, voice))),
        names: names::room(engraver, block, index == 0),
        warning: warning_width(engraver, &bar.meter, opening),
    };
    if index + 1 == block.part.bars.len() {
        spaced.close_block(engraver, edges.end);
    }
    Some(spaced)
}
