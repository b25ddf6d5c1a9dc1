//! Plays strokes of a SoundFont's drums. It makes no chance: the same stroke is the same samples.

use super::MOST_BYTES;
use super::chunks::Chunks;
use super::error::SoundFontError;
use super::region::Region;
use super::regions;
use crate::sound::blow::frames;
use crate::sound::filter::Filter;
use crate::sound::room::Sound;
use crate::sound::strike::Voice;
use std::sync::Arc;

/// So many regions sound in one stroke at most.
const AT_ONCE: usize = 16;
/// No stroke is longer, in seconds.
const LONGEST: f64 = 7.0;
/// A level that is no longer heard: -100 dB.
const SILENT: f64 = 1e-5;
/// Brings drums of a common font to the level of the kit of our own.
const LEVEL: f64 = 0.8;
/// The loudest velocity.
const LOUDEST: f64 = 127.0;

/// A SoundFont that is played.
#[derive(Clone, Debug)]
pub(in crate::sound) struct Player {
    regions: Arc<[Region]>,
}

impl Player {
    pub(in crate::sound) fn new(bytes: &[u8]) -> Result<Self, SoundFontError> {
        if bytes.len() > MOST_BYTES {
            return Err(SoundFontError::new("a SoundFont has 512 MiB at most"));
        }
        let chunks = Chunks::read(bytes)?;
        Ok(Self { regions: regions::read(&chunks)?.into() })
    }

    /// The sound of a stroke, at full level: its velocity only says which samples are played. What no region
    /// has is silent.
    pub(in crate::sound) fn sound(&self, voice: Voice, loudness: f64) -> Sound {
        let velocity = (loudness * LOUDEST).clamp(1.0, LOUDEST) as u8;
        let within = |(low, high): (u8, u8), value: u8| (low..=high).contains(&value);
        let regions = self
            .regions
            .iter()
            .filter(|region| within(region.keys, voice.key) && within(region.velocities, velocity));
        let mut sound = Sound::default();
        for region in regions.take(AT_ONCE) {
            add(region, voice.key, &mut sound);
        }
        sound.cut();
        sound
    }
}

/// Adds a region to a sound.
fn add(region: &Region, key: u8, sound: &mut Sound) {
    let step = region.step(key);
    let mut filter = region.cutoff.map(Filter::low_pass);
    let (mut place, mut level) = (0.0, 0.0);
    for frame in 0..frames(LONGEST) {
        level = region.envelope.next(frame, level);
        let at = place as usize;
        if at >= region.samples.len() || (frame > frames(1.0) && level < SILENT) {
            break;
        }
        let sample = between(region, at, place - libm::floor(place)) * level * LEVEL;
        let sample = filter.as_mut().map_or(sample, |filter| filter.run(sample));
        if sound.left.len() <= frame {
            sound.left.push(0.0);
            sound.right.push(0.0);
        }
        sound.left[frame] += (sample * region.sides.0) as f32;
        sound.right[frame] += (sample * region.sides.1) as f32;
        place += step;
        if let Some((start, end)) = region.loops {
            let (start, end) = (start as f64, end as f64);
            if place >= end {
                place = start + libm::fmod(place - start, end - start);
            }
        }
    }
}

/// The value between two samples, from four of them (a cubic of Hermite), from -1 to 1.
fn between(region: &Region, at: usize, part: f64) -> f64 {
    let sample = |at: usize| {
        let at = match region.loops {
            Some((start, end)) if at >= end => start + (at - end),
            Some(_) | None => at,
        };
        f64::from(region.samples.get(at).copied().unwrap_or(0)) / 32_768.0
    };
    let before = if at == 0 { 0.0 } else { sample(at - 1) };
    let [this, next, after] = [at, at + 1, at + 2].map(sample);
    let slope = (next - before) / 2.0;
    let next_slope = (after - this) / 2.0;
    let curve = slope + next_slope - 2.0 * (next - this);
    let bend = next - this - slope - curve;
    ((curve * part + bend) * part + slope) * part + this
}
