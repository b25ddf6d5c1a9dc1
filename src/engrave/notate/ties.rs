//! Ties over a barline.

use crate::score::{Bar, PlayerPart, Time, Voice};

/// Whether a voice of a bar begins with a note that is tied from the bar before.
pub fn comes_in(part: &PlayerPart, index: usize, voice: usize) -> bool {
    let before = index.checked_sub(1).and_then(|before| part.bars.get(before));
    let tied = before.and_then(|bar| of(bar, voice).hits.last()).is_some_and(|hit| hit.tied);
    let first = part.bars.get(index).and_then(|bar| of(bar, voice).hits.first());
    first.is_some_and(|hit| hit.at == Time::ZERO && (hit.continued || tied))
}

fn of(bar: &Bar, voice: usize) -> &Voice {
    if voice == 0 { &bar.upper } else { &bar.lower }
}
