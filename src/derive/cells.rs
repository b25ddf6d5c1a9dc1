//! What a row plays in a stretch of time, as few cells as say where everything begins and ends.

use crate::score::Time;
use std::collections::HashMap;

/// Most parts of a beat or of a cell that is split.
const MOST_PARTS: i64 = 12;
/// How deep splits stand; the language allows three.
const DEPTH: usize = 2;

/// What a pair of brackets costs a reader, in cells. Common practice, no source.
const BRACKETS: usize = 3;
/// Cells of a beat that are read at a glance, and what it costs where there are more. Common
/// practice, no source.
const MOST_READ: i64 = 6;
const TOO_MANY: usize = 6;

/// When a row plays something, and how long.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Timed {
    pub(crate) at: Time,
    /// The end it is held to.
    pub(crate) until: Option<Time>,
    /// It is tied into what follows at its end.
    pub(crate) tied: bool,
    /// It is a roll, which fills its cell.
    pub(crate) rolls: bool,
}

/// One cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum RowCell {
    /// What begins here, by its number in the row.
    Hit(usize),
    /// What was before goes on.
    Hold,
    /// The same, tied into what follows.
    Tie,
    /// Silence.
    Silence,
    /// Cells in the place of one.
    Split(Vec<RowCell>),
}

/// Finds cells, and remembers what it has found: beats are alike.
#[derive(Default)]
pub(crate) struct Finder {
    found: HashMap<(Vec<Timed>, bool), Option<Vec<RowCell>>>,
}

impl Finder {
    /// The cells of a stretch of a row; nothing where it would take too many. With `full_rests` what
    /// ends with its cell says nothing of its end.
    pub(crate) fn cells(
        &mut self,
        row: &[Timed],
        (start, length): (Time, Time),
        full_rests: bool,
    ) -> Option<Vec<RowCell>> {
        let here = row.partition_point(|t| t.at < start);
        // The last one before may go on into this stretch.
        let first = here.saturating_sub(1);
        let own = row.get(first..).unwrap_or_default();
        let own = own.iter().take_while(|t| t.at < start + length);
        // In parts of the stretch, so that beats that are alike are found once.
        let relative = |time: Time| Time::WHOLE * (time - start).ratio(length);
        let inside: Vec<Timed> =
            own.map(|t| Timed { at: relative(t.at), until: t.until.map(relative), ..*t }).collect();
        let key = (inside, full_rests);
        let found = match self.found.get(&key) {
            Some(found) => found.clone(),
            None => {
                let mut search = Search { row: &key.0, full_rests, known: HashMap::new() };
                let found = search.best(Time::ZERO, Time::WHOLE, DEPTH, usize::MAX);
                let found = found.map(|best| best.cells);
                self.found.insert(key, found.clone());
                found
            }
        };
        found.map(|cells| cells.into_iter().map(|cell| cell.counted_from(first)).collect())
    }
}

impl RowCell {
    /// The cell with the numbers of a whole row, of which a part begins at `first`.
    fn counted_from(self, first: usize) -> Self {
        match self {
            Self::Hit(number) => Self::Hit(number + first),
            Self::Split(cells) => {
                Self::Split(cells.into_iter().map(|cell| cell.counted_from(first)).collect())
            }
            Self::Hold | Self::Tie | Self::Silence => self,
        }
    }
}

/// The cells that are easiest to read, and how hard that is.
#[derive(Clone)]
struct Best {
    cells: Vec<RowCell>,
    cost: usize,
}

/// What is known of a stretch.
#[derive(Clone)]
enum Searched {
    Found(Best),
    /// Nothing costs less than this.
    NotUnder(usize),
}

struct Search<'a> {
    row: &'a [Timed],
    full_rests: bool,
    known: HashMap<(Time, Time, usize), Searched>,
}

impl Search<'_> {
    /// The easiest cells of a stretch, where they cost less than `limit`. Equal cells are tried
    /// first, since what they cost bounds the search for brackets.
    fn best(&mut self, start: Time, length: Time, depth: usize, limit: usize) -> Option<Best> {
        let key = (start, length, depth);
        match self.known.get(&key) {
            Some(Searched::Found(best)) => return (best.cost < limit).then(|| best.clone()),
            Some(Searched::NotUnder(tried)) if *tried >= limit => return None,
            Some(Searched::NotUnder(_)) | None => {}
        }
        let mut best: Option<Best> = None;
        let mut most = limit;
        let depths = [0, depth];
        for depth in depths.into_iter().take(if depth > 0 { 2 } else { 1 }) {
            for parts in 1..=MOST_PARTS {
                // Every part costs something.
                if usize::try_from(parts).is_ok_and(|parts| parts >= most) {
                    break;
                }
                if let Some(found) = self.split(start, length, parts, depth, most) {
                    most = found.cost;
                    best = Some(found);
                }
            }
        }
        let known = best.clone().map_or(Searched::NotUnder(limit), Searched::Found);
        self.known.insert(key, known);
        best
    }

    /// So many parts, where they cost less than `limit`.
    fn split(
        &mut self,
        start: Time,
        length: Time,
        parts: i64,
        depth: usize,
        limit: usize,
    ) -> Option<Best> {
        let part = length / parts;
        let mut cells = Vec::new();
        let mut cost = if parts > MOST_READ { TOO_MANY } else { 0 };
        for index in 0..parts {
            let at = start + part * index;
            if let Some(plain) = self.plain(at, part) {
                cells.push(plain);
                cost += 1;
            } else if depth > 0 && parts > 1 {
                let room = limit.checked_sub(cost + BRACKETS)?;
                let inner = self.best(at, part, depth - 1, room)?;
                cells.push(RowCell::Split(inner.cells));
                cost += inner.cost + BRACKETS;
            } else {
                return None;
            }
            if cost >= limit {
                return None;
            }
        }
        Some(Best { cells, cost })
    }

    /// A cell that nothing begins or ends inside of.
    fn plain(&self, at: Time, length: Time) -> Option<RowCell> {
        let end = at + length;
        let inside = |t: Time| t > at && t < end;
        if self.row.iter().any(|t| inside(t.at) || t.until.is_some_and(inside)) {
            return None;
        }
        if let Some(number) = self.row.iter().position(|t| t.at == at) {
            let hit = self.row.get(number)?;
            let pinned = hit.until.is_some_and(|until| until <= end);
            let said = !pinned || ((self.full_rests || hit.rolls) && !hit.tied);
            return said.then_some(RowCell::Hit(number));
        }
        let held = self.row.iter().find(|t| t.at < at && t.until.is_some_and(|u| u >= end));
        Some(match held {
            Some(hit) if hit.tied && hit.until == Some(end) => RowCell::Tie,
            Some(_) => RowCell::Hold,
            None => RowCell::Silence,
        })
    }
}
