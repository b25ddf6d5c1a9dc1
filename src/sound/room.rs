//! The place the kit stands in: where each instrument is heard, and a small dry room, so that an hour on
//! headphones is not tiring. It is part of every sound, so mixing stays a sum.

use super::blow::fall;
use super::filter::Filter;
use super::patch::Patch;
use super::strike::FRAMES_PER_SECOND;
use std::f64::consts::FRAC_PI_4;

/// Both sides of a sound, of equal length.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Sound {
    pub(super) left: Vec<f32>,
    pub(super) right: Vec<f32>,
}

/// The lengths of the four ways sound takes, in frames: no two have a common divisor. 18 to 33 ms, a room of
/// some six by eleven metres. Common practice, no source.
const WAYS: [usize; 4] = [863, 1_087, 1_321, 1_579];
/// Seconds in which the room falls by 60 dB.
const DECAY: f64 = 0.34;
/// The walls swallow what is higher than this, in hertz, and the room has nothing under the other.
const WALLS: (f64, f64) = (4_800.0, 180.0);
/// Amplitude of the room beside the sound itself.
const LEVEL: f64 = 0.13;
/// Seconds that a sound grows longer by.
const LONGER: f64 = 0.42;
/// From about this share of its highest peak a sound is rounded. Common practice, no source.
const ROUND: f64 = 0.5;
/// A stick touches what it strikes for so many frames at least, a quarter of a millisecond; so nothing starts
/// with a step. Common practice, no source.
const CONTACT: usize = 12;
/// Nothing under this can be heard or is written in 16 bits: -108 dB.
const SILENCE: f32 = 4e-6;
/// What is cut off at the end fades in so many frames.
const FADE: usize = 480;
/// No sound has anything under this, in hertz: no speaker gives it, and an offset is none.
const LOWEST: f64 = 22.0;

impl Sound {
    /// Takes the silence off the end.
    pub(super) fn cut(&mut self) {
        let mut pairs = self.left.iter().zip(&self.right);
        let last = pairs.rposition(|(left, right)| left.abs().max(right.abs()) > SILENCE);
        let length = last.map_or(0, |last| last + 1);
        for side in [&mut self.left, &mut self.right] {
            side.truncate(length);
            let fades = length.min(FADE);
            for (frame, sample) in side[length - fades..].iter_mut().rev().enumerate() {
                *sample *= frame as f32 / fades as f32;
            }
            side.shrink_to_fit();
        }
    }
}

/// Puts a sound of one channel in its place in the room.
pub(super) fn placed(patch: &Patch, level: f64, mut mono: Vec<f32>) -> Sound {
    round(&mut mono, patch.level * level);
    for (frame, sample) in mono.iter_mut().take(CONTACT).enumerate() {
        *sample *= (frame + 1) as f32 / (CONTACT + 1) as f32;
    }
    // After that, for what is rounded on one side more than on the other has an offset.
    let mut lowest = Filter::high_pass(LOWEST);
    mono.iter_mut().for_each(|sample| *sample = lowest.run(f64::from(*sample)) as f32);
    let angle = FRAC_PI_4 * (1.0 + patch.place);
    let (left, right) = (libm::cos(angle) as f32, libm::sin(angle) as f32);
    let mut sound = Sound {
        left: mono.iter().map(|sample| sample * left).collect(),
        right: mono.iter().map(|sample| sample * right).collect(),
    };
    if patch.room > 0.0 {
        Ways::new().run(&mono, (patch.room * LEVEL) as f32, &mut sound);
    }
    sound.cut();
    sound
}

/// Rounds the highest peaks off, as heads and cymbals that are struck hard do themselves, and brings a sound
/// to its level.
fn round(mono: &mut [f32], level: f64) {
    let highest = mono.iter().fold(0.0_f32, |most, sample| most.max(sample.abs()));
    let bend = 1.0 / (ROUND * f64::from(highest.max(1e-9)));
    for sample in mono {
        let value = f64::from(*sample);
        let over = value * bend;
        *sample = (value * level / libm::sqrt(1.0 + over * over)) as f32;
    }
}

/// Four ways of sound that feed each other (a feedback delay network, Jot 1991; from memory).
struct Ways {
    lines: [Vec<f32>; 4],
    at: [usize; 4],
    keeps: [f32; 4],
    walls: [f32; 4],
}

impl Ways {
    fn new() -> Self {
        // Of the amplitude at each frame, for as many as the way is long; the half of it, for the way it
        // is spread over all four is twice too loud.
        let keeps = WAYS.map(|way| {
            let falls = fall(DECAY);
            (libm::pow(falls, f64::from(u32::try_from(way).unwrap_or(1))) * 0.5) as f32
        });
        Self { lines: WAYS.map(|way| vec![0.0; way]), at: [0; 4], keeps, walls: [0.0; 4] }
    }

    fn run(mut self, mono: &[f32], level: f32, sound: &mut Sound) {
        let frames = f64::from(FRAMES_PER_SECOND);
        let passes = (1.0 - libm::exp(-std::f64::consts::TAU * WALLS.0 / frames)) as f32;
        let mut not_low = Filter::high_pass(WALLS.1);
        let longer = super::blow::frames(LONGER);
        sound.left.resize(mono.len() + longer, 0.0);
        sound.right.resize(mono.len() + longer, 0.0);
        let input = mono.iter().copied().chain(std::iter::repeat(0.0));
        for ((left, right), input) in sound.left.iter_mut().zip(&mut sound.right).zip(input) {
            let input = not_low.run(f64::from(input)) as f32;
            for (wall, (line, at)) in self.walls.iter_mut().zip(self.lines.iter().zip(self.at)) {
                *wall += passes * (line[at] - *wall);
            }
            let [a, b, c, d] = self.walls;
            let back = [a + b + c + d, a - b + c - d, a + b - c - d, a - b - c + d];
            for way in 0..4 {
                self.lines[way][self.at[way]] = input + back[way] * self.keeps[way];
                self.at[way] = (self.at[way] + 1) % WAYS[way];
            }
            *left += level * (a - c);
            *right += level * (b - d);
        }
    }
}
