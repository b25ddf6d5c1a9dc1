//! What must be known of all blocks before the first is written.

use super::pulses::{Denominators, Pulses};
use crate::perform::{StrokeKind, Timeline};
use crate::score::{PlacedBlock, Time};
use crate::write::error::WriteError;

/// Most strokes of a file: more than a day of sixteenths at 120. It bounds what a short text can make.
const MOST_STROKES: usize = 1_000_000;

/// What is known of all blocks.
#[derive(Debug)]
pub struct Survey {
    /// Pulses of a quarter.
    pub pulses: Pulses,
    /// How long before the first beat the first grace note sounds, in seconds; zero where there is none.
    pub ahead: f64,
}

/// Strokes of a file, counted against the most there may be.
#[derive(Debug, Default)]
pub struct StrokeCount(usize);

impl StrokeCount {
    /// Counts some more.
    pub fn add(&mut self, strokes: usize) -> Result<(), WriteError> {
        self.0 = self.0.saturating_add(strokes);
        match self.0 > MOST_STROKES {
            true => Err(WriteError(
                "this has more strokes than a MIDI file takes, which are 1,000,000: build parts of it, or play some passages less often".to_owned(),
            )),
            false => Ok(()),
        }
    }
}

impl Survey {
    /// Looks through blocks.
    pub fn of(blocks: &[&PlacedBlock]) -> Result<Self, WriteError> {
        let mut times = Denominators::default();
        let mut count = StrokeCount::default();
        let (mut quarters, mut ahead) = (0.0, None);
        for block in blocks {
            let mut length = Time::ZERO;
            let mut first = 0.0_f64;
            for timeline in Timeline::each(block) {
                count.add(timeline.strokes.len())?;
                note(&timeline, &mut times);
                length = timeline.length;
                let earliest = timeline.strokes.first().map_or(0.0, |stroke| stroke.seconds);
                first = first.min(earliest);
            }
            quarters += length.as_f64() * 4.0;
            if length > Time::ZERO {
                ahead.get_or_insert(-first);
            }
        }
        let pulses = Pulses::of(&times, quarters).ok_or_else(|| {
            WriteError(
                "this is too long for a MIDI file, which takes some two million quarters: build parts of it"
                    .to_owned(),
            )
        })?;
        Ok(Self { pulses, ahead: ahead.unwrap_or(0.0) })
    }
}

/// Counts the times that are to be whole pulses.
fn note(timeline: &Timeline, times: &mut Denominators) {
    let struck = timeline.strokes.iter().filter(|stroke| stroke.kind != StrokeKind::Grace);
    struck.for_each(|stroke| times.add(stroke.sounds.0));
    timeline.bar_times.iter().for_each(|bar| times.add(*bar));
    timeline.tempo.iter().for_each(|step| times.add(step.at));
    times.add(timeline.length);
}
