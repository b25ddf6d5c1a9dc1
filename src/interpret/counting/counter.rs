//! A counting system set under a time signature.

use super::beat::Beat;
use super::system::CountingSystem;
use crate::score::meter::MeterKind;
use crate::score::{Meter, Time};
use std::sync::Arc;

/// What the numbers name in compound time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CompoundCount {
    /// The notes of the lower number: `1 2 3 4 5 6`, with `&` between.
    Eighths,
    /// The dotted beats: `1 & a 2 & a`.
    Beats,
}

/// What the numbers name in additive time, and in 5/8, 7/8 and the like.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OddCount {
    /// The notes of the lower number through the bar: `1 2 3 4 5 6 7`.
    Through,
    /// The same, from one in each group: `1 2 1 2 1 2 3`.
    Groups,
}

/// A counting system under one time signature.
#[derive(Clone, Debug)]
pub struct Counter {
    pub(super) system: Arc<CountingSystem>,
    pub(super) beats: Vec<Beat>,
    /// Compound time is counted in the notes of its lower number.
    pub(super) counts_units: bool,
}

impl Counter {
    /// Sets a system under a time signature. Where the file does not say how compound and additive
    /// time are counted, the system's own way holds.
    pub fn new(
        system: Arc<CountingSystem>,
        meter: &Meter,
        compound: Option<CompoundCount>,
        odd: Option<OddCount>,
    ) -> Self {
        let by_beat = system.by_beat;
        let units = match meter.kind {
            MeterKind::Simple | MeterKind::Unmetered => false,
            MeterKind::Compound => match compound {
                Some(way) => way == CompoundCount::Eighths,
                None => !by_beat,
            },
            MeterKind::Additive => odd.is_some() || !by_beat,
        };
        // The groups of 5/8 and 7/8 are those of their beams; longer beats stand in none.
        let short = meter.kind == MeterKind::Simple && meter.unit() < Time::QUARTER;
        let restart = odd == Some(OddCount::Groups) && (short || meter.kind == MeterKind::Additive);
        let groups = if restart && short { meter.beam_groups() } else { meter.beats() };
        let units = units || (restart && short);
        let mut beats = Vec::new();
        let mut start = Time::ZERO;
        let mut number = 0;
        for group in groups {
            let of_units = group.ratio(meter.unit()).to_integer();
            if restart {
                number = 0;
            }
            let (count, length) = if units { (of_units, meter.unit()) } else { (1, group) };
            for _ in 0..count {
                number += 1;
                let dotted = length.ratio(meter.unit()).to_integer() == 3;
                beats.push(Beat { start, length, number, dotted });
                start += length;
            }
        }
        let counts_units = units && meter.kind == MeterKind::Compound;
        Self { system, beats, counts_units }
    }

    /// The beats numbers name, in order.
    pub fn beats(&self) -> &[Beat] {
        &self.beats
    }

    /// What is said on one of the equal parts of a beat; nothing where the part has no name.
    pub fn word(&self, beat: &Beat, parts: u32, index: u32) -> Option<String> {
        let (parts, index) = named_grid(beat, parts, index)?;
        self.system.word(beat, parts, index)
    }
}

/// Thirty-seconds have no names: halves their grid up to the sixteenths.
pub(super) fn named_grid(beat: &Beat, mut parts: u32, mut index: u32) -> Option<(u32, u32)> {
    let sixteenth = Time::new(1, 16);
    while !beat.dotted
        && parts.is_power_of_two()
        && parts > 1
        && beat.length / i64::from(parts) < sixteenth
    {
        if index % 2 == 1 {
            return None;
        }
        parts /= 2;
        index /= 2;
    }
    Some((parts, index))
}
