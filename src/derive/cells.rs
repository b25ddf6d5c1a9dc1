//! What a row plays in a stretch of time, as few cells as say where everything begins and ends.

use crate::score::Time;
use num_integer::{gcd, lcm};
use num_rational::Ratio;
use std::collections::HashMap;

/// Most parts of a beat or of a cell that is split.
const MOST_PARTS: i64 = 12;
/// How deep splits stand; the language allows three.
const DEPTH: usize = 2;
/// Ticks of a stretch: whatever is cut into at most `MOST_PARTS` parts, and those again `DEPTH` times, is
/// cut at whole ticks. They are the third powers of what divides the numbers to twelve.
const TICKS: i64 = 512 * 729 * 125 * 343 * 1331;
/// A tick before a stretch, and one after it.
const BEFORE: i64 = -1;
const AFTER: i64 = TICKS + 1;

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
    /// It is left to ring, tied into nothing.
    pub(crate) rings: bool,
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

/// When a row plays something, in ticks of a stretch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Ticked {
    at: i64,
    until: Option<i64>,
    tied: bool,
    rolls: bool,
}

impl Ticked {
    /// The same in ticks of a stretch; nothing where it begins or ends between two of them.
    fn of(hit: &Timed, (start, length): (Time, Time)) -> Option<Self> {
        let ticks = |time: Time| ticks((time - start).ratio(length));
        let until = match hit.until {
            Some(until) => Some(ticks(until)?),
            None => None,
        };
        // What ended before the stretch says nothing in it.
        let until = until.filter(|until| *until > 0);
        Some(Self { at: ticks(hit.at)?, until, tied: hit.tied, rolls: hit.rolls })
    }
}

/// Ticks of a part of a stretch; all that lies before it is one, and all that lies after it.
fn ticks(part: Ratio<i64>) -> Option<i64> {
    let (over, under) = (*part.numer(), *part.denom());
    match over {
        _ if over < 0 => Some(BEFORE),
        _ if over > under => Some(AFTER),
        _ => (TICKS % under == 0).then(|| over * (TICKS / under)),
    }
}

/// Finds cells, and remembers what it has found: beats are alike.
#[derive(Default)]
pub(crate) struct Finder {
    found: HashMap<(Vec<Ticked>, bool), Option<Vec<RowCell>>>,
}

impl Finder {
    /// The cells of a stretch of a row; nothing where it would take too many. With `full_rests` what
    /// ends with its cell says nothing of its end.
    pub(crate) fn cells(
        &mut self,
        row: &[Timed],
        stretch: (Time, Time),
        full_rests: bool,
    ) -> Option<Vec<RowCell>> {
        let (start, length) = stretch;
        let here = row.partition_point(|t| t.at < start);
        // The last one before may go on into this stretch.
        let first = here.saturating_sub(1);
        let own = row.get(first..).unwrap_or_default();
        let own = own.iter().take_while(|t| t.at < start + length);
        // In parts of the stretch, so that beats that are alike are found once.
        let inside: Vec<Ticked> = own.map(|t| Ticked::of(t, stretch)).collect::<Option<_>>()?;
        let key = (inside, full_rests);
        let found = match self.found.get(&key) {
            Some(found) => found.clone(),
            None => {
                let found = Search::of(&key.0, full_rests).best(0, TICKS, DEPTH, usize::MAX);
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

/// What stands in a part before it is searched.
enum Part {
    Plain(RowCell),
    /// Cells in brackets, which cost at least so much.
    Split(usize),
}

impl Part {
    fn least(&self) -> usize {
        match self {
            Self::Plain(_) => 1,
            Self::Split(least) => *least,
        }
    }
}

struct Search<'a> {
    /// By time; each ends before the next begins.
    row: &'a [Ticked],
    /// Where anything begins or ends, each once and in order.
    points: Vec<i64>,
    full_rests: bool,
    known: HashMap<(i64, i64, usize), Searched>,
}

impl<'a> Search<'a> {
    fn of(row: &'a [Ticked], full_rests: bool) -> Self {
        let mut points: Vec<i64> =
            row.iter().flat_map(|t| [Some(t.at), t.until]).flatten().collect();
        points.sort_unstable();
        points.dedup();
        Self { row, points, full_rests, known: HashMap::new() }
    }

    /// Where something begins or ends inside of a stretch.
    fn inside(&self, start: i64, end: i64) -> &[i64] {
        let from = self.points.partition_point(|point| *point <= start);
        let to = self.points.partition_point(|point| *point < end);
        self.points.get(from..to).unwrap_or_default()
    }

    /// The easiest cells of a stretch, where they cost less than `limit`. Equal cells are tried
    /// first, since what they cost bounds the search for brackets.
    fn best(&mut self, start: i64, length: i64, depth: usize, limit: usize) -> Option<Best> {
        let key = (start, length, depth);
        match self.known.get(&key) {
            Some(Searched::Found(best)) => return (best.cost < limit).then(|| best.clone()),
            Some(Searched::NotUnder(tried)) if *tried >= limit => return None,
            Some(Searched::NotUnder(_)) | None => {}
        }
        let mut best: Option<Best> = None;
        let mut most = limit;
        let equal = self.equal_parts(start, length);
        let equal = (1..=MOST_PARTS).filter(|parts| parts % equal == 0).map(|parts| (parts, 0));
        let deeper = (1..=MOST_PARTS).filter(|_| depth > 0).map(|parts| (parts, depth));
        for (parts, depth) in equal.chain(deeper) {
            // Every part costs something.
            if usize::try_from(parts).is_ok_and(|parts| parts >= most) {
                continue;
            }
            if let Some(found) = self.split(start, length, (parts, depth), most) {
                most = found.cost;
                best = Some(found);
            }
        }
        let known = best.clone().map_or(Searched::NotUnder(limit), Searched::Found);
        self.known.insert(key, known);
        best
    }

    /// The fewest equal parts that have all points of a stretch between them; more than there may be,
    /// where that is so.
    fn equal_parts(&self, start: i64, length: i64) -> i64 {
        let mut parts = 1;
        for point in self.inside(start, start + length) {
            parts = lcm(parts, length / gcd(length, point - start));
            if parts > MOST_PARTS {
                break;
            }
        }
        parts
    }

    /// So many parts, where they cost less than `limit`.
    fn split(
        &mut self,
        start: i64,
        length: i64,
        (count, depth): (i64, usize),
        limit: usize,
    ) -> Option<Best> {
        let part = length / count;
        let (parts, mut least) = self.parts((start, part), (count, depth), limit)?;
        let mut cells = Vec::with_capacity(parts.len());
        for (at, found) in (0..).map(|index| start + part * index).zip(parts) {
            match found {
                Part::Plain(cell) => cells.push(cell),
                Part::Split(own) => {
                    let room = limit.checked_sub(least - own + BRACKETS)?;
                    let inner = self.best(at, part, depth - 1, room)?;
                    cells.push(RowCell::Split(inner.cells));
                    least = least - own + inner.cost + BRACKETS;
                }
            }
        }
        (least < limit).then_some(Best { cells, cost: least })
    }

    /// So many parts as they are before those in brackets are searched, and what they cost at least,
    /// where that is less than `limit`: one that has something beginning or ending at so many points inside
    /// has a cell more than these.
    fn parts(
        &self,
        (start, part): (i64, i64),
        (count, depth): (i64, usize),
        limit: usize,
    ) -> Option<(Vec<Part>, usize)> {
        let mut parts = Vec::new();
        let mut least = if count > MOST_READ { TOO_MANY } else { 0 };
        for index in 0..count {
            let (at, end) = (start + part * index, start + part * (index + 1));
            let found = match self.plain(at, end) {
                Some(cell) => Part::Plain(cell),
                None if depth > 0 && count > 1 => {
                    Part::Split(BRACKETS + 1 + self.inside(at, end).len().max(1))
                }
                None => return None,
            };
            least += found.least();
            if least >= limit {
                return None;
            }
            parts.push(found);
        }
        Some((parts, least))
    }

    /// A cell that nothing begins or ends inside of.
    fn plain(&self, at: i64, end: i64) -> Option<RowCell> {
        if !self.inside(at, end).is_empty() {
            return None;
        }
        let number = self.row.partition_point(|t| t.at < at);
        if let Some(hit) = self.row.get(number).filter(|hit| hit.at == at) {
            let pinned = hit.until.is_some_and(|until| until <= end);
            let said = !pinned || ((self.full_rests || hit.rolls) && !hit.tied);
            return said.then_some(RowCell::Hit(number));
        }
        let before = number.checked_sub(1).and_then(|number| self.row.get(number));
        Some(match before.filter(|hit| hit.until.is_some_and(|until| until >= end)) {
            Some(hit) if hit.tied && hit.until == Some(end) => RowCell::Tie,
            Some(_) => RowCell::Hold,
            None => RowCell::Silence,
        })
    }
}
