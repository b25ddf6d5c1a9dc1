//! How each bar is printed: its notes, or a sign that stands for several bars (Gould, *Behind
//! Bars*, "Repeat signs" and "Multi-bar rests", from memory).

use crate::score::mark::LayoutMark;
use crate::score::settings::Rests;
use crate::score::{Again, Bar, Closing, Mark, MarkKind, PlayerPart};

/// How a bar is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// Its notes.
    Notes,
    /// As one of the bars of a repeat sign.
    Again(Again),
    /// As one of the bars of a rest.
    Rest {
        /// How many bars rest, at least 2.
        bars: usize,
        /// Which of them this is, from 0. The first has the sign and all its width.
        part: usize,
    },
}

impl Shown {
    /// A sign began in a bar before, so that no line may begin here.
    pub fn goes_on(self) -> bool {
        match self {
            Self::Notes => false,
            Self::Again(again) => again.part > 0,
            Self::Rest { part, .. } => part > 0,
        }
    }

    /// A barline is drawn where it ends.
    pub fn has_barline(self) -> bool {
        match self {
            Self::Rest { bars, part } => part + 1 == bars,
            Self::Notes | Self::Again(_) => true,
        }
    }
}

/// How each bar of a block is printed.
pub fn shown(part: &PlayerPart) -> Vec<Shown> {
    let mut shown = Vec::with_capacity(part.bars.len());
    while let Some(bar) = part.bars.get(shown.len()) {
        let rest = resting(part, shown.len());
        if rest > 1 {
            shown.extend((0..rest).map(|part| Shown::Rest { bars: rest, part }));
        } else {
            shown.push(bar.again.filter(|_| rest == 0).map_or(Shown::Notes, Shown::Again));
        }
    }
    shown
}

/// How many bars rest together from one on. What is played again there begins anew.
fn resting(part: &PlayerPart, from: usize) -> usize {
    if part.settings.rests == Rests::Full {
        return 0;
    }
    let Some((first, later)) = part.bars.get(from..).and_then(<[Bar]>::split_first) else {
        return 0;
    };
    if !rests(first) {
        return 0;
    }
    let mut count = 1;
    let mut before = first;
    for bar in later {
        let joins = before.closing == Closing::Single
            && rests(bar)
            && !bar.repeat_start
            && !says_turn(before)
            && bar.marks.iter().all(is_turn)
            && bar.meter == first.meter;
        if !joins {
            break;
        }
        count += 1;
        before = bar;
    }
    count
}

/// Whether a bar says that the page may be turned after it, which a rest does not go on over.
fn says_turn(bar: &Bar) -> bool {
    bar.marks.iter().any(is_turn)
}

fn is_turn(mark: &Mark) -> bool {
    mark.kind == MarkKind::Layout(LayoutMark::Turn)
}

/// Nothing sounds in a bar, and nothing is said under it.
fn rests(bar: &Bar) -> bool {
    bar.is_silent()
        && bar.small.is_none()
        && bar.length == bar.meter.length()
        && bar.counts.is_empty()
        && bar.sticking.is_empty()
        && bar.pedalling.is_empty()
        && bar.words.is_empty()
        && bar.dynamics.is_empty()
}
