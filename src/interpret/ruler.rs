//! Beats of a bar as a ruler: where groups of cells fall.

use crate::score::{Meter, Time};
use crate::syntax::limits::{SPREAD_BEATS, SPREAD_DIVISORS};
use crate::syntax::tree::Spread;
use num_rational::Ratio;

/// The beats of a time signature, going on past the barline so that what is too long can be
/// measured too.
#[derive(Clone, Debug)]
pub(crate) struct Ruler {
    beats: Vec<Time>,
    starts: Vec<Time>,
    total: Time,
}

/// The stretch of one group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Extent {
    /// From the start of the meter.
    pub(crate) start: Time,
    pub(crate) end: Time,
}

impl Ruler {
    pub(crate) fn new(meter: &Meter) -> Self {
        let beats = meter.beats();
        let mut total = Time::ZERO;
        let mut starts = Vec::with_capacity(beats.len());
        for beat in &beats {
            starts.push(total);
            total += *beat;
        }
        Self { beats, starts, total }
    }

    /// The time of a point counted in beats.
    fn time(&self, beats: Ratio<i64>) -> Time {
        let count = self.beats.len().max(1) as i64;
        let whole = beats.floor().to_integer();
        let index = whole.rem_euclid(count) as usize;
        let length = self.beats.get(index).copied().unwrap_or(Time::QUARTER);
        let start = self.starts.get(index).copied().unwrap_or(Time::ZERO);
        self.total * whole.div_euclid(count) + start + length * beats.fract()
    }

    /// How many beats lie before a time.
    pub(crate) fn beats_before(&self, time: Time) -> Ratio<i64> {
        let bars = time.ratio(self.total).floor().to_integer();
        let rest = time - self.total * bars;
        let index = self.starts.partition_point(|start| *start <= rest).saturating_sub(1);
        let (Some(start), Some(length)) = (self.starts.get(index), self.beats.get(index)) else {
            return Ratio::from_integer(0);
        };
        let whole = bars * self.beats.len() as i64 + index as i64;
        Ratio::from_integer(whole) + (rest - *start).ratio(*length)
    }

    /// The time so many beats after another.
    pub(crate) fn after(&self, from: Time, spread: Spread) -> Time {
        let beats = match is_bounded(spread) {
            true => Ratio::new(i64::from(spread.beats), i64::from(spread.divided_by)),
            false => Ratio::from_integer(1),
        };
        self.time(self.beats_before(from) + beats)
    }

    /// Lays groups one after another from a time on. A group takes one beat unless it is spread;
    /// the first group of a pickup that starts inside a beat takes what is left of that beat.
    pub(crate) fn lay(
        &self,
        spreads: impl Iterator<Item = Option<Spread>>,
        from: Time,
    ) -> Vec<Extent> {
        let mut at = self.beats_before(from);
        let mut extents = Vec::new();
        for spread in spreads {
            let next = match spread {
                Some(spread) if is_bounded(spread) => {
                    at + Ratio::new(spread.beats.into(), i64::from(spread.divided_by))
                }
                Some(_) => at + 1,
                None if extents.is_empty() && !at.is_integer() => at.ceil(),
                None => at + 1,
            };
            extents.push(Extent { start: self.time(at), end: self.time(next) });
            at = next;
        }
        extents
    }
}

/// Whether a spread is one the parser lets through; others would make time too fine to add up.
fn is_bounded(spread: Spread) -> bool {
    (1..=SPREAD_BEATS).contains(&spread.beats) && SPREAD_DIVISORS.contains(&spread.divided_by)
}
