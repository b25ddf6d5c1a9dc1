//! The order in which bars are played: repeats, endings and jumps unrolled.
//!
//! After a jump back repeats are not played again and the last ending is taken, as Gould, *Behind
//! Bars* (2011), "Repeat signs", has it, from memory.

use crate::score::mark::{Back, Direction, FormMark, Until};
use crate::score::{Bar, Closing};

/// Most bars that are played of one block, so that no short text plays for ever: some hours.
const MOST_PLAYED: usize = 20_000;

/// One playing of a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Played {
    /// The bar's index in the block.
    pub bar: usize,
    /// Which pass of its repeat it is, from 1; the last one after a jump.
    pub pass: u32,
    /// It has been played before.
    pub again: bool,
}

/// The bars of a block in the order in which they are played; at most 20,000.
#[must_use]
pub fn played(bars: &[Bar]) -> Vec<Played> {
    let mut reader = OrderReader { bars, start: 0, pass: 1, jumped: None, done: Vec::new() };
    let mut seen = vec![false; bars.len()];
    let mut next = Some(0);
    while let Some(index) = next.filter(|_| reader.done.len() < MOST_PLAYED) {
        let Some(bar) = bars.get(index) else { break };
        if let Some(after) = reader.skip(index, bar) {
            next = Some(after);
            continue;
        }
        if bar.repeat_start && reader.start != index {
            reader.start = index;
            reader.pass = 1;
        }
        let again = seen.get(index).copied().unwrap_or(false);
        reader.done.push(Played { bar: index, pass: reader.pass, again });
        if let Some(seen) = seen.get_mut(index) {
            *seen = true;
        }
        next = reader.after(index, bar);
    }
    reader.done
}

struct OrderReader<'a> {
    bars: &'a [Bar],
    /// The first bar of the passage that is repeated.
    start: usize,
    pass: u32,
    /// How far the passage after a jump goes, once there was one.
    jumped: Option<Until>,
    done: Vec<Played>,
}

impl OrderReader<'_> {
    /// The bar to go on with where a bar begins an ending that is not for this pass.
    fn skip(&self, index: usize, bar: &Bar) -> Option<usize> {
        let (passes, _) = bar.ending()?;
        let mine = match self.jumped {
            Some(_) => passes.last() == self.last_pass(),
            None => passes.has(self.pass),
        };
        if mine {
            return None;
        }
        Some(self.end_of_ending(index) + 1)
    }

    /// The last bar of an ending.
    fn end_of_ending(&self, first: usize) -> usize {
        let closes = |index: usize| {
            let closed = self.bars.get(index).is_none_or(|bar| bar.closing != Closing::Single);
            closed || self.bars.get(index + 1).is_none_or(|bar| bar.ending().is_some())
        };
        (first..self.bars.len()).find(|index| closes(*index)).unwrap_or(first)
    }

    /// The last pass that an ending of the passage names; zero where it has none.
    fn last_pass(&self) -> u32 {
        let mut last = 0;
        let mut index = self.start;
        while let Some(bar) = self.bars.get(index) {
            if index > self.start && bar.repeat_start {
                break;
            }
            match bar.ending() {
                Some((passes, _)) => {
                    last = last.max(passes.last());
                    index = self.end_of_ending(index);
                    let more = self.bars.get(index + 1).is_some_and(|bar| bar.ending().is_some());
                    if !more {
                        break;
                    }
                }
                None if last > 0 => break,
                None => {}
            }
            index += 1;
        }
        last
    }

    /// The bar that follows one that was played; nothing at the end.
    fn after(&mut self, index: usize, bar: &Bar) -> Option<usize> {
        for direction in directions(bar) {
            match (direction, self.jumped) {
                (Direction::Fine, Some(Until::Fine)) => return None,
                (Direction::ToCoda, Some(Until::Coda)) => {
                    let coda = |bar: &Bar| bar.form().any(|form| *form == FormMark::Coda);
                    let coda = self.bars.iter().rposition(coda).filter(|coda| *coda > index);
                    self.jumped = Some(Until::End);
                    return coda.or(Some(index + 1));
                }
                (Direction::Fine | Direction::ToCoda | Direction::Jump { .. }, _) => {}
            }
        }
        if let Closing::Repeat { times, .. } = bar.closing {
            let times = times.max(self.last_pass());
            if self.jumped.is_none() && self.pass < times {
                self.pass += 1;
                return Some(self.start);
            }
            self.pass = 1;
            self.start = index + 1;
        }
        let jump = directions(bar).find_map(|direction| match direction {
            Direction::Jump { back, until, .. } => Some((back, until)),
            Direction::Fine | Direction::ToCoda => None,
        });
        match jump.filter(|_| self.jumped.is_none()) {
            Some((back, until)) => {
                self.jumped = Some(until);
                self.start = 0;
                self.pass = 1;
                let segno = |bar: &Bar| bar.form().any(|form| *form == FormMark::Segno);
                match back {
                    Back::Start => Some(0),
                    Back::Segno => Some(self.bars.iter().position(segno).unwrap_or(0)),
                }
            }
            None => Some(index + 1),
        }
    }
}

fn directions(bar: &Bar) -> impl Iterator<Item = Direction> {
    bar.form().filter_map(|form| match form {
        FormMark::Direction(direction) => Some(*direction),
        FormMark::Section(_) | FormMark::Ending(_) | FormMark::Segno | FormMark::Coda => None,
    })
}
