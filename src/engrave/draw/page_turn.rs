//! Where a page may be turned: where the hands rest, or where the text says so (Gould, *Behind Bars*,
//! "Page turns", from memory).

use crate::score::kit::Limb;
use crate::score::mark::LayoutMark;
use crate::score::{Bar, Block, MarkKind, PlayerPart, Time};

/// From one stroke of the hands to the next, in quarters, so that one of them has the time to turn a page
/// (no source).
const TURNING: i64 = 3;

/// How well a page is turned before a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageTurn {
    /// The hands play.
    Busy,
    /// The hands rest.
    Rest,
    /// The text says that it is a good place.
    Said,
}

/// Whether the text asks for a page that begins with a bar.
pub fn asks_for_page(part: &PlayerPart, bar: usize) -> bool {
    part.bars.get(bar).is_some_and(|bar| has(bar, &MarkKind::Layout(LayoutMark::NewPage)))
}

/// How well a page is turned between a bar of a block and the one before it: all its players read one page.
pub fn page_turn(block: &Block, next: usize) -> PageTurn {
    let Some(before) = next.checked_sub(1) else { return PageTurn::Busy };
    let lead = block.part.bars.get(before);
    if lead.is_some_and(|bar| has(bar, &MarkKind::Layout(LayoutMark::Turn))) {
        return PageTurn::Said;
    }
    let rest = |part: &PlayerPart| {
        part.bars.get(before).zip(part.bars.get(next)).is_some_and(|bars| rests(part, bars))
    };
    if block.parts().all(rest) { PageTurn::Rest } else { PageTurn::Busy }
}

/// Whether the hands of a player rest long enough between two bars.
fn rests(part: &PlayerPart, (before, after): (&Bar, &Bar)) -> bool {
    let last = hands(part, before).max().map_or(before.length, |at| before.length - at);
    let first = hands(part, after).min().unwrap_or(after.length);
    last + first >= Time::QUARTER * TURNING
}

fn has(bar: &Bar, kind: &MarkKind) -> bool {
    bar.marks.iter().any(|mark| mark.kind == *kind)
}

/// When the hands strike in a bar.
fn hands<'a>(part: &'a PlayerPart, bar: &'a Bar) -> impl Iterator<Item = Time> + 'a {
    let limb = |id| part.kit.get(id).map_or(Limb::Hands, |instrument| instrument.limb);
    let hits = bar.upper.hits.iter().filter(|hit| !hit.continued);
    hits.filter(move |hit| hit.strikes.iter().any(|strike| limb(strike.instrument) == Limb::Hands))
        .map(|hit| hit.at)
}
