//! How one stroke falls: how hard, and in what it differs from the others of its kind.

use super::patch::Mode;
use super::random::Random;
use super::strike::FRAMES_PER_SECOND;

/// A sound is over where it has fallen by so many decibels under its loudest moment: 6 dB under the least
/// step of 16 bits.
const OVER: f64 = 102.0;
/// No sound is longer, in seconds.
const LONGEST: f64 = 7.0;
/// How the highest frequency that is excited falls with the loudness, as a power of it: a stick that is
/// slower stays longer on the head (Fletcher and Rossing, The Physics of Musical Instruments; the power is
/// common practice, no source).
const SOFTER: f64 = 0.75;
/// Which share of the time to die away the softest stroke keeps.
const SHORTER: f64 = 0.7;
/// Shares by which strokes of one kind differ: in pitch, in hardness, in the amplitude of each mode and in
/// level. Common practice, no source.
const PITCH_STRAYS: f64 = 0.003;
const HARDNESS_STRAYS: f64 = 0.07;
const MODE_STRAYS: f64 = 0.2;
const LEVEL_STRAYS: f64 = 0.035;

/// One stroke.
#[derive(Clone, Debug)]
pub(super) struct Blow {
    /// From 0 to 1.
    hardness: f64,
    /// Factor of all frequencies.
    pitch: f64,
    /// Factor of all times to die away.
    decay: f64,
    /// Factor of the amplitude.
    pub(super) level: f64,
    pub(super) random: Random,
}

impl Blow {
    /// A stroke of a loudness from 0 to 1; strokes of one seed are the same.
    pub(super) fn new(loudness: f64, seed: u64) -> Self {
        let mut random = Random::new(seed);
        let hardness = (loudness * random.about(HARDNESS_STRAYS)).clamp(0.01, 1.0);
        let pitch = random.about(PITCH_STRAYS);
        let decay = SHORTER + (1.0 - SHORTER) * hardness;
        let level = random.about(LEVEL_STRAYS);
        Self { hardness, pitch, decay, level, random }
    }

    /// The same where it is damped at once to a share of its time.
    pub(super) fn damped(self, share: f64) -> Self {
        Self { decay: self.decay * share, ..self }
    }

    /// The same with a share more or less of its hardness.
    pub(super) fn harder(self, share: f64) -> Self {
        Self { hardness: (self.hardness * share).clamp(0.01, 1.0), ..self }
    }

    /// From 0 to 1.
    pub(super) fn hardness(&self) -> f64 {
        self.hardness
    }

    /// The frequency in hertz up to which this stroke excites what the hardest excites up to `reach`.
    pub(super) fn reach(&self, reach: f64) -> f64 {
        reach * libm::pow(self.hardness, SOFTER)
    }

    /// A frequency in hertz as this stroke has it.
    pub(super) fn pitch(&self, hertz: f64) -> f64 {
        hertz * self.pitch
    }

    /// Seconds to fall by 60 dB, as this stroke has them.
    pub(super) fn decay(&self, seconds: f64) -> f64 {
        seconds * self.decay
    }

    /// The amplitude of a mode, of the hardest stroke 1 far under `reach`.
    pub(super) fn excites(&mut self, hertz: f64, reach: f64) -> f64 {
        let ratio = hertz / self.reach(reach);
        self.random.about(MODE_STRAYS) / (1.0 + ratio * ratio)
    }

    /// The frequency in hertz and the amplitude of a mode.
    pub(super) fn mode(&mut self, pitch: f64, (ratio, amplitude): Mode, reach: f64) -> (f64, f64) {
        let hertz = self.pitch(pitch * ratio);
        (hertz, amplitude * self.excites(hertz, reach))
    }
}

/// The factor of each frame by which something falls by 60 dB in so many seconds.
pub(super) fn fall(seconds: f64) -> f64 {
    let frames = seconds.max(1e-4) * f64::from(FRAMES_PER_SECOND);
    libm::exp(-std::f64::consts::LN_10 * 3.0 / frames)
}

/// Frames until something has died away that falls by 60 dB in so many seconds.
pub(super) fn frames_to_end(decay: f64) -> usize {
    frames(decay * OVER / 60.0)
}

/// Seconds as whole frames, as many as a sound may have.
pub(super) fn frames(seconds: f64) -> usize {
    (seconds.clamp(0.0, LONGEST) * f64::from(FRAMES_PER_SECOND)) as usize
}

/// The first so many frames of a sound, which grows to hold them.
pub(super) fn reserve(sound: &mut Vec<f32>, length: usize) -> &mut [f32] {
    if sound.len() < length {
        sound.resize(length, 0.0);
    }
    &mut sound[..length]
}
