//! When a voice sounds.

use crate::score::{Hit, Time};

/// The hits of a voice and the end of its bar.
pub struct Sounds<'a> {
    hits: &'a [Hit],
    end: Time,
}

impl<'a> Sounds<'a> {
    /// What sounds in a bar that ends at `end`.
    pub fn new(hits: &'a [Hit], end: Time) -> Self {
        Self { hits, end }
    }

    /// No hit is struck or held from `start` up to `end`.
    pub fn silent(&self, start: Time, end: Time) -> bool {
        !self.hits.iter().any(|hit| {
            (hit.at >= start && hit.at < end)
                || (hit.at < start && hit.until.is_some_and(|u| u > start))
        })
    }

    /// A hit is struck from `start` up to `end`.
    pub fn struck_in(hits: &[Hit], start: Time, end: Time) -> bool {
        hits.iter().any(|hit| hit.at >= start && hit.at < end)
    }

    /// The hits that are struck in a stretch, or come into it from the bar before, by index, in
    /// order.
    pub fn struck(
        &self,
        start: Time,
        end: Time,
    ) -> impl Iterator<Item = (usize, &'a Hit)> + use<'a> {
        let hits = self.hits;
        let first = hits.partition_point(|hit| hit.at < start);
        hits.iter().enumerate().skip(first).take_while(move |(_, hit)| hit.at < end)
    }

    /// When the hit after one is struck, or the end of the bar.
    pub fn next_after(&self, index: usize) -> Time {
        self.hits.get(index + 1).map_or(self.end, |next| next.at)
    }
}
