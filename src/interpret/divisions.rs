//! How the beats of a voice are divided, in reduced form.

use crate::score::Division;
use crate::score::Time;
use crate::score::division::Across;

/// Most parts of a division.
const MOST_PARTS: u32 = 512;
/// Most parts a player can be asked to read when two rows divide a stretch differently.
const READABLE_PARTS: u32 = 12;

/// A stretch a row divides, with the stretches its splits divide. How many parts it has follows
/// from what sounds in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DividedSpan {
    pub(crate) start: Time,
    pub(crate) length: Time,
    pub(crate) inner: Vec<DividedSpan>,
    /// It goes on over a barline, with cells of this length.
    pub(crate) across: Option<(Across, Time)>,
}

impl DividedSpan {
    fn end(&self) -> Time {
        self.start + self.length
    }
}

/// What is wrong with the divisions of a voice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Clash {
    /// The rows share no grid a player can read.
    Unreadable { start: Time, parts: u32 },
    /// The rows share no grid at all that can be written.
    Unwritable { start: Time },
}

/// The least common multiple, up to the most parts of a division.
pub(crate) fn lcm(a: u32, b: u32) -> Option<u32> {
    let wide = num_integer::lcm(u64::from(a.max(1)), u64::from(b.max(1)));
    u32::try_from(wide).ok().filter(|n| *n <= MOST_PARTS)
}

/// Where a point lies in a stretch: the part, and of how many parts, in lowest terms. A grid finer
/// than any division counts as one just too fine.
pub(crate) fn position(at: Time, start: Time, length: Time) -> (u32, u32) {
    let ratio = (at - start).ratio(length);
    let parts = u32::try_from(*ratio.denom()).unwrap_or(u32::MAX);
    (u32::try_from(*ratio.numer()).unwrap_or(0), parts)
}

/// Joins stretches that meet off every plain grid, as three groups of `:1/3` do, so that what is
/// left starts and ends where plain notes can.
pub(crate) fn join_fragments(stretches: Vec<DividedSpan>) -> Vec<DividedSpan> {
    let mut joined: Vec<DividedSpan> = Vec::with_capacity(stretches.len());
    for next in stretches {
        match joined.last_mut() {
            Some(last) if !is_power_of_two(next.start.denominator()) => {
                last.length = next.end() - last.start;
                last.inner.clear();
            }
            _ => joined.push(next),
        }
    }
    joined
}

/// The divisions one row asks for, given the points (starts and pinned ends, sorted) of its hits.
/// An empty answer for a stretch means plain halves. `dotted` is the beat of compound time. `None`
/// where a grid is too fine to write.
pub(crate) fn reduce(
    stretches: &[DividedSpan],
    points: &[Time],
    dotted: Option<Time>,
) -> Option<Vec<Division>> {
    let mut kept = Vec::new();
    for stretch in stretches {
        match reduced(stretch, points)? {
            Reduced::Whole => {}
            Reduced::Halves(division) | Reduced::Kept(division) => {
                hoist(division, dotted, &mut kept)
            }
        }
    }
    Some(kept)
}

enum Reduced {
    /// Nothing sounds inside.
    Whole,
    /// A power of two, and nothing kept inside.
    Halves(Division),
    /// Anything else.
    Kept(Division),
}

fn reduced(stretch: &DividedSpan, points: &[Time]) -> Option<Reduced> {
    let own = inside(points, stretch.start, stretch.end());
    // A part of a group over a barline shows its cells whatever sounds in it.
    let cells = stretch.across.map(|(_, cell)| stretch.length.ratio(cell).numer().to_owned());
    let mut grid: u32 = u32::try_from(cells.unwrap_or(1)).ok().filter(|n| *n <= MOST_PARTS)?;
    if own.is_empty() && grid == 1 {
        return Some(Reduced::Whole);
    }
    let mut halves = Vec::new();
    let mut kept = Vec::new();
    // Splits deeper than the language allows are not placed at all.
    for inner in &stretch.inner {
        match reduced(inner, points)? {
            Reduced::Whole => {}
            Reduced::Halves(division) => halves.push(division),
            Reduced::Kept(division) => kept.push(division),
        }
    }
    // Halves in the place of one part leave a triplet a triplet.
    if kept.is_empty() && !is_tuplet(stretch, own, &halves) {
        for point in own {
            grid = lcm(grid, position(*point, stretch.start, stretch.length).1)?;
        }
    } else {
        kept.append(&mut halves);
        kept.sort_by_key(|d| d.start);
        let mut rest = own;
        for inner in &kept {
            let end = inner.start + inner.length;
            let first = rest.partition_point(|p| *p <= inner.start);
            let last = rest.partition_point(|p| *p < end);
            for point in rest[..first].iter().chain([&inner.start, &end]) {
                grid = lcm(grid, position(*point, stretch.start, stretch.length).1)?;
            }
            rest = &rest[last.max(first)..];
        }
        for point in rest {
            grid = lcm(grid, position(*point, stretch.start, stretch.length).1)?;
        }
    }
    let across = stretch.across.map(|(across, _)| across);
    let (start, length) = (stretch.start, stretch.length);
    let division = Division { start, length, parts: grid, inner: kept, across };
    Some(match (grid, division.inner.is_empty()) {
        (1, true) => Reduced::Whole,
        (n, true) if n.is_power_of_two() => Reduced::Halves(division),
        _ => Reduced::Kept(division),
    })
}

/// Whether a stretch has a grid off plain halves even without what its halved parts hold.
fn is_tuplet(stretch: &DividedSpan, points: &[Time], halves: &[Division]) -> bool {
    let in_halves = |p: &Time| halves.iter().any(|d| *p > d.start && *p < d.start + d.length);
    let place = |point: &Time| position(*point, stretch.start, stretch.length).1;
    points.iter().filter(|p| !in_halves(p)).any(|point| !place(point).is_power_of_two())
}

/// Keeps a division of the bar, or what is kept inside it where it is plain itself.
fn hoist(division: Division, dotted: Option<Time>, kept: &mut Vec<Division>) {
    if is_plain(division.length, division.parts, dotted) {
        for inner in division.inner {
            hoist(inner, dotted, kept);
        }
    } else {
        kept.push(division);
    }
}

/// Whether the parts are plain notes: halves of halves, dotted notes of which two fill a dotted
/// stretch or the beat of compound time, or such beats, one or several.
fn is_plain(length: Time, parts: u32, dotted: Option<Time>) -> bool {
    let part = length / i64::from(parts);
    let duplet = part.numerator() == 3 && (parts == 2 || Some(part * 2) == dotted);
    let beats = dotted.is_some_and(|beat| part.is_multiple_of(beat));
    is_power_of_two(part.denominator()) && (part.numerator() == 1 || duplet || beats)
}

fn is_power_of_two(n: i64) -> bool {
    n > 0 && n & (n - 1) == 0
}

/// The points strictly between two times.
fn inside(points: &[Time], start: Time, end: Time) -> &[Time] {
    let first = points.partition_point(|p| *p <= start);
    let last = points.partition_point(|p| *p < end);
    points.get(first..last).unwrap_or(&[])
}

/// Lays the divisions of all rows of a voice over one another, so that every point of the voice
/// lies on a part.
pub(crate) fn overlay(
    rows: Vec<Vec<Division>>,
    points: &[Time],
    dotted: Option<Time>,
    clashes: &mut Vec<Clash>,
) -> Vec<Division> {
    let finest = |start: Time, end: Time, rows: &[Division]| {
        rows.iter()
            .filter(|d| d.start < end && d.start + d.length > start)
            .map(|d| d.parts)
            .max()
            .unwrap_or(1)
    };
    let mut all: Vec<Division> = rows.into_iter().flatten().collect();
    all.sort_by_key(|d| (d.start, std::cmp::Reverse(d.length)));
    let mut result = Vec::new();
    let mut from = 0;
    while from < all.len() {
        // A run of divisions that touch one another.
        let mut end = all[from].start + all[from].length;
        let mut to = from + 1;
        while to < all.len() && all[to].start < end {
            end = end.max(all[to].start + all[to].length);
            to += 1;
        }
        let run = &all[from..to];
        let merged = run.iter().skip(1).cloned().fold(run[0].clone(), merge);
        let asked = finest(merged.start, end, run);
        match settle(merged, points) {
            Some(division) if is_plain(division.length, division.parts, dotted) => {
                for inner in division.inner {
                    hoist(inner, dotted, &mut result);
                }
            }
            Some(division) => {
                if division.parts > READABLE_PARTS && division.parts > asked {
                    let Division { start, parts, .. } = division;
                    clashes.push(Clash::Unreadable { start, parts });
                }
                result.push(division);
            }
            None => clashes.push(Clash::Unwritable { start: run[0].start }),
        }
        from = to;
    }
    result
}

/// One division that holds two which overlap. A division of zero parts waits to be settled.
fn merge(a: Division, b: Division) -> Division {
    let (a_end, b_end) = (a.start + a.length, b.start + b.length);
    if a.start == b.start && a.length == b.length && a.parts == b.parts {
        let across = a.across.or(b.across);
        return Division { inner: join_inner(a.inner, b.inner), across, ..a };
    }
    if a.parts > 0 && b.start >= a.start && b_end <= a_end {
        let part = a.length / i64::from(a.parts);
        let index = (b.start - a.start).ratio(part).to_integer();
        let (start, end) = (a.start + part * index, a.start + part * (index + 1));
        if b.start == start && b_end == end {
            return Division { inner: join_inner(a.inner, vec![b]), ..a };
        }
    }
    let start = a.start.min(b.start);
    let length = a_end.max(b_end) - start;
    Division { start, length, parts: 0, inner: Vec::new(), across: None }
}

fn join_inner(a: Vec<Division>, b: Vec<Division>) -> Vec<Division> {
    let mut all = a;
    all.extend(b);
    all.sort_by_key(|d| (d.start, std::cmp::Reverse(d.length)));
    let mut joined: Vec<Division> = Vec::new();
    for next in all {
        match joined.pop() {
            Some(last) if next.start < last.start + last.length => joined.push(merge(last, next)),
            Some(last) => joined.extend([last, next]),
            None => joined.push(next),
        }
    }
    joined
}

/// Makes the parts of a division fine enough for every point inside it.
fn settle(division: Division, points: &[Time]) -> Option<Division> {
    let Division { start, length, parts, inner, across } = division;
    let own = inside(points, start, start + length);
    let in_inner = |p: Time| inner.iter().any(|d| p > d.start && p < d.start + d.length);
    let mut grid = parts.max(1);
    for point in own.iter().filter(|p| !in_inner(**p)) {
        grid = lcm(grid, position(*point, start, length).1)?;
    }
    if inner.is_empty() || grid == parts {
        let inner = inner.into_iter().map(|d| settle(d, points)).collect::<Option<Vec<_>>>()?;
        return Some(Division { start, length, parts: grid, inner, across });
    }
    for point in own {
        grid = lcm(grid, position(*point, start, length).1)?;
    }
    Some(Division { start, length, parts: grid, inner: Vec::new(), across })
}
