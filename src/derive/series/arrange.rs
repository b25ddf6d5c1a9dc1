//! The arrangements of a rule, and what each is as cells.

use super::count::{self, Arrangement};
use crate::interpret::place::{CellHit, LimbStrike};
use crate::interpret::request::{Hands, Notes, Order, Pattern, Rule};
use crate::score::kit::InstrumentId;
use crate::score::{Accent, Hand, Kit};

/// Most arrangements gone through before filters.
pub(super) const MOST_TRIED: usize = 20_000;

/// How many arrangements there are, as far as it is known without making them.
pub(super) fn size(rule: &Rule) -> u64 {
    match rule {
        Rule::Accents { count, groups } => count::binomial(hits(groups), *count),
        Rule::Notes(Notes { count, cells, .. }) => count::binomial(*cells, *count),
        Rule::Stickings(Hands { notes, run, .. }) => {
            count::stickings(*notes, *run, MOST_TRIED + 1).len() as u64
        }
    }
}

/// All arrangements in the order asked for. Only choices of places have one by neighbours.
pub(super) fn all(rule: &Rule, order: Order) -> Option<Vec<Arrangement>> {
    let (n, k) = match rule {
        Rule::Accents { count, groups } => (hits(groups), *count),
        Rule::Notes(Notes { count, cells, .. }) => (*cells, *count),
        Rule::Stickings(Hands { notes, run, .. }) => {
            let mut all = count::stickings(*notes, *run, MOST_TRIED);
            match order {
                Order::Neighbours => return None,
                Order::Easy => all.sort_by_key(|p| count::doubles(p)),
                Order::Written => {}
            }
            return Some(all);
        }
    };
    Some(match order {
        Order::Neighbours => count::revolving(n, k),
        Order::Written => count::choices(n, k),
        Order::Easy => {
            let mut all = count::choices(n, k);
            let parts = parts(rule);
            all.sort_by_key(|p| {
                let weights = p.iter().enumerate().filter(|(_, m)| **m);
                weights.map(|(at, _)| weight(at % parts, parts)).sum::<usize>()
            });
            all
        }
    })
}

/// The cells of one arrangement, and the hand of each of its notes where the rule is about hands.
pub(super) fn pattern(rule: &Rule, arrangement: &Arrangement, kit: &Kit) -> (Pattern, Vec<Hand>) {
    match rule {
        Rule::Accents { groups, .. } => {
            let mut marks = arrangement.iter();
            let mut accent = |id: &Option<InstrumentId>| {
                let accented = id.is_some() && marks.next() == Some(&true);
                let accent = if accented { Accent::Accent } else { Accent::None };
                id.map(|id| one_hit(&[id], accent, kit))
            };
            let beats = groups.iter().map(|group| group.iter().map(&mut accent).collect());
            (Pattern::of_cells(beats.collect()), Vec::new())
        }
        Rule::Notes(Notes { instruments, parts, .. }) => {
            let cell = |taken: &bool| taken.then(|| one_hit(instruments, Accent::None, kit));
            let arrangement = in_whole_beats(arrangement, *parts);
            let beats = arrangement.chunks((*parts).max(1));
            let beats = beats.map(|beat| beat.iter().map(cell).collect());
            (Pattern::of_cells(beats.collect()), Vec::new())
        }
        Rule::Stickings(Hands { lead, parts, .. }) => {
            let cell = |_: &bool| Some(one_hit(&[kit.snare()], Accent::None, kit));
            let arrangement = in_whole_beats(arrangement, *parts);
            let beats = arrangement.chunks((*parts).max(1));
            let beats = beats.map(|beat| beat.iter().map(cell).collect());
            let hands = arrangement.iter().map(|right| if *right { *lead } else { lead.other() });
            (Pattern::of_cells(beats.collect()), hands.collect())
        }
    }
}

/// An arrangement as often as it takes to fill whole beats.
fn in_whole_beats(arrangement: &Arrangement, parts: usize) -> Arrangement {
    arrangement.repeat(times_to_fill(arrangement.len(), parts))
}

/// How often so many cells come again until they fill whole beats, and then bars of so many cells.
pub(super) fn times_to_fill(cells: usize, whole: usize) -> usize {
    let cells = cells.max(1);
    num_integer::lcm(cells, whole.max(1)) / cells
}

fn one_hit(instruments: &[InstrumentId], accent: Accent, kit: &Kit) -> CellHit {
    let strike = |id: &InstrumentId| LimbStrike {
        instrument: *id,
        limb: kit.limb(*id),
        accent,
        ghost: false,
        choked: false,
    };
    CellHit { strikes: instruments.iter().map(strike).collect(), ..CellHit::default() }
}

/// Cells of a beat.
fn parts(rule: &Rule) -> usize {
    match rule {
        Rule::Accents { groups, .. } => groups.first().map_or(1, Vec::len),
        Rule::Notes(Notes { parts, .. }) | Rule::Stickings(Hands { parts, .. }) => *parts,
    }
    .max(1)
}

/// How hard a place of a beat is: on it, halfway, elsewhere. Common practice, no source.
fn weight(place: usize, parts: usize) -> usize {
    match place {
        0 => 0,
        p if p * 2 == parts => 1,
        _ => 2,
    }
}

fn hits(groups: &[Vec<Option<InstrumentId>>]) -> usize {
    groups.iter().flatten().flatten().count()
}
