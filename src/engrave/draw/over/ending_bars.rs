//! The endings of repeats: from which bar to which each of them goes.

use crate::score::mark::Passes;
use crate::score::{Bar, Closing, PlayerPart, Span};

/// An ending as bars of its part.
#[derive(Clone, Copy, Debug)]
pub struct EndingBars<'a> {
    /// The passes it is played on.
    pub passes: &'a Passes,
    /// Where it is written.
    pub span: Span,
    /// Its last bar.
    pub last: usize,
    /// Its passage ends with it: the music does not simply go on.
    pub closed: bool,
}

/// Whether a passage ends before a bar, with a section letter or the start of a repeat.
fn begins_passage(bar: &Bar) -> bool {
    bar.repeat_start || bar.begins_section()
}

/// The ending that begins with a bar. Every one ends before the next one and with a repeat or a
/// double line; one that is not the first also where its passage ends, and where no repeat or ending
/// closes it, it is no longer than the first one (common practice, no source).
pub fn ending_from(part: &PlayerPart, first: usize) -> Option<EndingBars<'_>> {
    let (passes, span) = part.bars.get(first)?.ending()?;
    let later = !passes.has(1);
    let ends = |last: &usize| {
        let Some(next) = part.bars.get(last + 1) else { return true };
        let closes = part.bars.get(*last).is_none_or(|bar| bar.closing != Closing::Single);
        closes || next.ending().is_some() || later && begins_passage(next)
    };
    let mut last = (first..part.bars.len()).find(ends)?;
    if later && !is_closed(part, last) {
        let most = first_length(part, first, passes).unwrap_or(usize::MAX);
        last = last.min(first.saturating_add(most.saturating_sub(1)));
    }
    let next = part.bars.get(last + 1);
    let closing = part.bars.get(last).map(|bar| bar.closing);
    let closed = closing != Some(Closing::Single) || next.is_none_or(begins_passage);
    Some(EndingBars { passes, span, last, closed })
}

/// Whether a repeat closes an ending with a bar, or another ending follows.
fn is_closed(part: &PlayerPart, last: usize) -> bool {
    let next = part.bars.get(last + 1);
    next.is_some_and(|next| next.ending().is_some())
        || match part.bars.get(last).map(|bar| bar.closing) {
            Some(Closing::Repeat { .. }) => true,
            Some(Closing::Single | Closing::Double) | None => false,
        }
}

/// How many bars the first ending has, where a bar begins a later one with these passes.
fn first_length(part: &PlayerPart, later: usize, passes: &Passes) -> Option<usize> {
    let mut until = passes.last();
    for index in (0..later).rev() {
        let bar = part.bars.get(index)?;
        match bar.ending() {
            Some((passes, _)) if passes.has(1) => {
                return ending_from(part, index).map(|first| first.last - index + 1);
            }
            // Endings count upwards: another repeat's are not these.
            Some((before, _)) if before.last() >= until => return None,
            Some((before, _)) => until = before.last(),
            None if bar.repeat_start => return None,
            None => {}
        }
    }
    None
}
