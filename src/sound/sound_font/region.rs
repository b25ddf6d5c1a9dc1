//! One region of an instrument: a sample, for which keys and velocities, and how it is played.

use super::chunks::{long, number};
use super::generators::{Generators, is};
use crate::sound::blow::{fall, frames};
use crate::sound::strike::FRAMES_PER_SECOND;
use std::sync::Arc;

/// How much of an attenuation is heeded: instruments of the first makers had so much, and fonts are tuned
/// to them (common practice, no source).
const HEEDED: f64 = 0.4;
/// A step from frame to frame lies between these, in samples.
const STEPS: (f64, f64) = (1e-3, 64.0);
/// A sample that loops is held for so many seconds, and then released.
const HELD: f64 = 0.35;
/// The delay where nothing is said: a millisecond, in timecents.
const NO_DELAY: i16 = -12_000;
/// No time of an envelope is longer, in seconds.
const LONGEST: f64 = 60.0;
/// Over this corner, in hertz, the filter is left out.
const OPEN: f64 = 18_000.0;

/// A region.
#[derive(Clone, Debug)]
pub(super) struct Region {
    pub(super) keys: (u8, u8),
    pub(super) velocities: (u8, u8),
    pub(super) samples: Arc<[i16]>,
    /// Where it loops, within its samples.
    pub(super) loops: Option<(usize, usize)>,
    /// Samples a frame at key 0, and the factor with each key.
    rate: f64,
    /// The key in place of the one that is played.
    key: Option<u8>,
    scale: f64,
    /// Amplitudes of both sides.
    pub(super) sides: (f64, f64),
    /// The corner of its filter in hertz.
    pub(super) cutoff: Option<f64>,
    pub(super) envelope: Envelope,
}

/// How loud it is over time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Envelope {
    /// Frames until it starts, until it has grown, and until it falls.
    starts: usize,
    grown: usize,
    falls_from: usize,
    /// The factor of each frame while it falls, and the level it falls to.
    falls: f64,
    sustain: f64,
    /// The frame from which it is released, and the factor of each frame from there.
    released: usize,
    releases: f64,
}

/// The part of the samples that a region plays.
pub(super) struct Part {
    pub(super) from: usize,
    pub(super) to: usize,
    loops: Option<(usize, usize)>,
}

/// The part that a sample's header and a zone name; nothing where it lies outside the samples.
pub(super) fn part(zone: &Generators, header: &[u8], samples: usize) -> Option<Part> {
    let place = |at: usize, fine: usize, coarse: usize| {
        let moved = zone.or(fine, 0) + 32_768.0 * zone.or(coarse, 0);
        i64::from(long(header, at)) + moved as i64
    };
    let from = usize::try_from(place(20, is::START, is::START_COARSE)).ok()?;
    let to = usize::try_from(place(24, is::END, is::END_COARSE)).ok()?.min(samples);
    if from >= to {
        return None;
    }
    let inside =
        |at: i64| usize::try_from(at).ok()?.checked_sub(from).filter(|at| *at <= to - from);
    let ends = (
        inside(place(28, is::LOOP_START, is::LOOP_START_COARSE)),
        inside(place(32, is::LOOP_END, is::LOOP_END_COARSE)),
    );
    let loops = match ends {
        // A loop of a few samples is a tone of its own; none is shorter.
        (Some(start), Some(end)) if start + 8 <= end => Some((start, end)),
        (Some(_) | None, Some(_) | None) => None,
    };
    let looped = matches!(zone.get(is::LOOPS), Some(1 | 3));
    Some(Part { from, to, loops: loops.filter(|_| looped) })
}

impl Region {
    /// A region of an instrument's zone within a preset's zone, whose values are added.
    pub(super) fn new(
        (preset, zone): (&Generators, &Generators),
        header: &[u8],
        part: &Part,
        samples: Arc<[i16]>,
    ) -> Self {
        let sum = |which: usize, default: i16| zone.or(which, default) + preset.or(which, 0);
        let recorded = long(header, 36).clamp(400, 200_000);
        let [root, correction] = number(header, 40).to_le_bytes();
        let root = zone.get(is::ROOT).and_then(|root| u8::try_from(root).ok()).unwrap_or(root);
        let root = if root > 127 { 60.0 } else { f64::from(root) };
        let scale = sum(is::SCALE, 100);
        let cents = 100.0 * sum(is::COARSE_TUNE, 0)
            + sum(is::FINE_TUNE, 0)
            + f64::from(correction.cast_signed())
            - scale * root;
        let quieter = libm::pow(10.0, -HEEDED * sum(is::ATTENUATION, 0).max(0.0) / 200.0);
        let pan = (sum(is::PAN, 0) / 1_000.0).clamp(-0.5, 0.5) + 0.5;
        let angle = pan * std::f64::consts::FRAC_PI_2;
        let cutoff = 8.176 * libm::exp2(sum(is::CUTOFF, 13_500) / 1_200.0);
        Self {
            keys: zone.common(preset, is::KEYS),
            velocities: zone.common(preset, is::VELOCITIES),
            samples,
            loops: part.loops,
            rate: f64::from(recorded) / f64::from(FRAMES_PER_SECOND) * libm::exp2(cents / 1_200.0),
            key: zone.get(is::KEY).and_then(|key| u8::try_from(key).ok()),
            scale,
            sides: (quieter * libm::cos(angle), quieter * libm::sin(angle)),
            cutoff: (cutoff < OPEN).then_some(cutoff),
            envelope: Envelope::new(&sum, part.loops.is_some()),
        }
    }

    /// Samples that a frame steps by, for a key.
    pub(super) fn step(&self, key: u8) -> f64 {
        let key = f64::from(self.key.unwrap_or(key));
        (self.rate * libm::exp2(self.scale * key / 1_200.0)).clamp(STEPS.0, STEPS.1)
    }
}

impl Envelope {
    fn new(sum: &impl Fn(usize, i16) -> f64, looped: bool) -> Self {
        let seconds = |which| libm::exp2(sum(which, -12_000) / 1_200.0).min(LONGEST);
        // What stands where nothing is said is the shortest delay there is: none is meant.
        let starts = if sum(is::DELAY, NO_DELAY) <= f64::from(NO_DELAY) {
            0
        } else {
            frames(seconds(is::DELAY))
        };
        let grown = starts + frames(seconds(is::ATTACK));
        // Times to fall are for 100 dB.
        let falls = |which| fall(seconds(which) * 0.6);
        Self {
            starts,
            grown,
            falls_from: grown + frames(seconds(is::HOLD)),
            falls: falls(is::DECAY),
            sustain: libm::pow(10.0, -sum(is::SUSTAIN, 0).clamp(0.0, 1_440.0) / 200.0),
            released: if looped { frames(HELD) } else { usize::MAX },
            releases: falls(is::RELEASE),
        }
    }

    /// The level of a frame after one of a level.
    pub(super) fn next(&self, frame: usize, level: f64) -> f64 {
        if frame < self.starts {
            0.0
        } else if frame >= self.released {
            level * self.releases
        } else if frame < self.grown {
            let grown = (self.grown - self.starts).max(1);
            level + 1.0 / f64::from(u32::try_from(grown).unwrap_or(u32::MAX))
        } else if frame < self.falls_from {
            1.0
        } else {
            (level.min(1.0) * self.falls).max(self.sustain)
        }
    }
}
