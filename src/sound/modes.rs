//! Single modes: heads, bars, blocks, bells. Each is a phasor that turns and shrinks; it starts at its
//! zero, so that no stroke starts with a step.

use super::blow::{Blow, fall, frames_to_end, reserve};
use super::patch::Modes;
use super::strike::FRAMES_PER_SECOND;
use std::f64::consts::TAU;

/// The pitch of a glide is worked out anew after so many frames.
const GLIDE_STEP: usize = 32;
/// A glide is left alone once it is smaller than this share of the pitch.
const GLIDE_OVER: f64 = 2e-4;
/// Modes above this are left out, in hertz.
const HIGHEST: f64 = 18_000.0;

/// Adds the modes of a stroke to a sound.
pub(super) fn add(modes: &Modes, blow: &mut Blow, sound: &mut Vec<f32>) {
    let glide = modes.glide * blow.hardness();
    for mode in modes.modes {
        let (hertz, amplitude) = blow.mode(modes.pitch, *mode, modes.reach);
        if hertz > HIGHEST {
            continue;
        }
        let decay = blow.decay(modes.decay) / libm::pow(mode.0, modes.damping);
        let out = reserve(sound, frames_to_end(decay));
        let phasor = Phasor { re: modes.level * amplitude, im: 0.0, shrinks: fall(decay) };
        let falls = libm::exp(
            -f64::from(u32::try_from(GLIDE_STEP).unwrap_or(1))
                / (modes.glide_time * f64::from(FRAMES_PER_SECOND)),
        );
        phasor.run(hertz, (glide, falls), out);
    }
}

struct Phasor {
    re: f64,
    im: f64,
    shrinks: f64,
}

impl Phasor {
    /// Adds it to `out`; `glide` is the share by which it starts higher, and its factor after each step.
    fn run(mut self, hertz: f64, (mut glide, falls): (f64, f64), out: &mut [f32]) {
        let angle = TAU * hertz / f64::from(FRAMES_PER_SECOND);
        let turn = |glide: f64| {
            let angle = angle * (1.0 + glide);
            (libm::cos(angle) * self.shrinks, libm::sin(angle) * self.shrinks)
        };
        let (mut cos, mut sin) = turn(glide);
        for step in out.chunks_mut(GLIDE_STEP) {
            for sample in step {
                (self.re, self.im) = (self.re * cos - self.im * sin, self.re * sin + self.im * cos);
                *sample += self.im as f32;
            }
            if glide > 0.0 {
                glide = if glide > GLIDE_OVER { glide * falls } else { 0.0 };
                (cos, sin) = turn(glide);
            }
        }
    }
}
