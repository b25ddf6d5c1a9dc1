//! Natural sticking: the hand follows the place on the subdivision grid, as drummers say *right
//! hand lead*. Common practice, no source.

use crate::derive::phrase::{GridSpan, Phrase};
use crate::score::kit::Limb;
use crate::score::{Hand, Time};
use num_integer::lcm;

/// The finest subdivision that coarser beats around it are felt in.
const FELT: i64 = 4;

/// The hand of each note. In beats of an even division `first` has the beat and every second cell
/// after it. In triplets and other odd groups the hands go on in turn from group to group, cell by
/// cell, whether a cell sounds or not.
pub(crate) fn hands(phrase: &Phrase, first: Hand) -> Vec<Hand> {
    let grid = grid(&own_spans(phrase));
    let mut at = 0;
    phrase
        .hands()
        .map(|note| {
            while grid.get(at + 1).is_some_and(|(span, _)| span.start <= note.at) {
                at += 1;
            }
            if note.strikes.len() > 1 {
                return Hand::Both;
            }
            let Some((span, turned)) = grid.get(at) else { return first };
            match (cell_of(span, note.at) % 2 == 0) != *turned {
                true => first,
                false => first.other(),
            }
        })
        .collect()
}

/// The stretches of a phrase in the division of the hands' own notes and rests: what the feet play
/// changes no hand.
fn own_spans(phrase: &Phrase) -> Vec<GridSpan> {
    let mut rest = phrase.notes.as_slice();
    let own = |span: &GridSpan| {
        let first = rest.partition_point(|n| n.at < span.start);
        let here = rest.get(first..).unwrap_or_default();
        let end = here.partition_point(|n| n.at < span.end());
        let (here, after) = here.split_at(end);
        rest = after;
        let hands = here.iter().filter(|n| n.limb == Limb::Hands);
        let places = hands.map(|n| *(n.at - span.start).ratio(span.length).denom());
        GridSpan { parts: places.fold(1, lcm), ..*span }
    };
    phrase.spans.iter().map(own).collect()
}

/// The number of the cell of a stretch that a time lies in, from zero.
fn cell_of(span: &GridSpan, at: Time) -> i64 {
    (at - span.start).ratio(span.cell()).floor().to_integer().clamp(0, span.parts.max(1) - 1)
}

/// The stretches in the division they are felt in, and whether the other hand begins there.
///
/// A beat of one note or two among sixteenths is felt in sixteenths; a beat of one note among
/// triplets is felt as a triplet.
fn grid(spans: &[GridSpan]) -> Vec<(GridSpan, bool)> {
    let beats = || spans.iter().filter(|s| s.beats == 1).map(|s| s.parts);
    let halves = beats().filter(|n| (2..=FELT).contains(n) && n.count_ones() == 1).max();
    // Of the divisions that beats have, the one most have; of two as common the finer.
    let mut counted = std::collections::BTreeMap::new();
    for parts in beats().filter(|n| *n > 1) {
        *counted.entry(parts).or_insert(0) += 1;
    }
    let most = counted.iter().max_by_key(|(parts, count)| (**count, **parts)).map(|(n, _)| *n);
    let felt = |span: &GridSpan| match span.parts {
        parts if span.beats > 1 => parts,
        1 => most.map_or(1, |n| if n.count_ones() == 1 { n.min(FELT) } else { n }),
        2 => halves.unwrap_or(2),
        parts => parts,
    };
    let mut turned = false;
    spans
        .iter()
        .map(|span| {
            let span = GridSpan { parts: felt(span), ..*span };
            let odd = span.parts % 2 == 1;
            turned &= odd;
            let here = turned;
            turned ^= odd;
            (span, here)
        })
        .collect()
}
