//! The body, set item by item: words, blocks alone, and blocks side by side.

use super::ahead::{Ahead, SetItems};
use super::body_again::{Body, NewBody};
use super::growing::{Growing, Grown};
use super::item_ids::ChangedItems;
use super::pages_memo::PagesMemo;
use super::setter::Setter;
use super::spent::{Said, SpentMusic};
use crate::parallel::{Each, Stop, both};
use crate::score::{Item, Score};
use crate::source::Diagnostics;

/// What is made of a score.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// Pages alone.
    Pages,
    /// Pages, and a picture of each block.
    PagesAndPictures,
}

/// Sets all items of a score, or those that a change reaches where the others were set before; `changed` says
/// what became of these, and `music` is what the score has no more.
pub fn set(
    setter: Setter<'_>,
    score: &Score,
    (changed, music): (Option<&ChangedItems>, SpentMusic),
    memo: &mut PagesMemo,
    stop: Stop<'_>,
    (wanted, diagnostics): (Wanted, &mut Diagnostics),
) -> Option<(Body, Said)> {
    let known = memo.body.take();
    let again = known.as_ref().zip(changed);
    let again = again.and_then(|(known, changed)| known.again(&setter, score, changed));
    let from = again.as_ref().map_or(0, |again| again.from);
    let PagesMemo { engraved, words, alone, rows, .. } = memo;
    let body = NewBody::under(again.as_ref().is_some_and(|again| again.over));
    let pictures = wanted == Wanted::PagesAndPictures;
    let mut growing = Growing::new(setter, score, (alone, rows), pictures, body);
    let mut ahead = Ahead::new((setter, score), (engraved, words), again.is_some(), music);
    let ends = |index| again.as_ref().is_some_and(|again| again.ends(score, index));
    let to = grow((&mut growing, &mut ahead), from, stop, ends);
    let (new, said) = (growing.body(), ahead.said());
    let Some(to) = to else {
        memo.body = known;
        return None;
    };
    let body = match (&known, &again) {
        (Some(known), Some(again)) => {
            let items: Vec<&Item> = score.items.range(again.from..to).collect();
            memo.forget(again.gone(to), &items);
            known.with(again, (to, new))
        }
        _ => {
            memo.set_all();
            new.into()
        }
    };
    body.report(score, diagnostics);
    memo.keep_body(&setter, &body);
    Some((body, said))
}

/// Sets the items from an index on, up to the last or to one that `ends` them; its index. While some take their places,
/// the next are set already.
fn grow(
    (growing, ahead): (&mut Growing<'_, '_>, &mut Ahead<'_>),
    from: usize,
    stop: Stop<'_>,
    ends: impl Fn(usize) -> bool + Sync,
) -> Option<usize> {
    let mut grown = from;
    let mut next = SetItems::none(from);
    loop {
        let end = growing.take(grown, next);
        let mut place = || growing.items(grown, stop, &ends);
        let (placed, ready) = match ahead.count(end) {
            0 => (place(), None),
            items => {
                let (placed, ready) = both(Each::Small, items, place, || ahead.set(end));
                (placed, Some(ready))
            }
        };
        match placed? {
            Grown::Whole(end) => return Some(end),
            Grown::To(index) => grown = index,
        }
        next = ready.unwrap_or_else(|| ahead.set(end));
    }
}
