//! Tones that hold on: whistles, what is rubbed, bells of machines.

use super::blow::{Blow, fall, frames, frames_to_end, reserve};
use super::patch::Tone;
use super::strike::FRAMES_PER_SECOND;
use std::f64::consts::TAU;

/// Adds a tone to a sound.
pub(super) fn add(tone: &Tone, blow: &mut Blow, sound: &mut Vec<f32>) {
    let second = f64::from(FRAMES_PER_SECOND);
    let (from, to) = (blow.pitch(tone.pitch.0), blow.pitch(tone.pitch.1));
    let (attack, release) = tone.attack_release;
    let (second_harmonic, third_harmonic) = tone.harmonics;
    // Blown or rubbed softly, the harmonics are weaker.
    let bright = blow.hardness();
    let (second_harmonic, third_harmonic) = (second_harmonic * bright, third_harmonic * bright);
    let (hold, falls) = (frames(tone.hold), fall(release));
    let swells = fall(attack * 6.9);
    let (mut swell, mut level, mut turns) = (1.0, tone.level, 0.0_f64);
    let mut seconds = 0.0;
    for (frame, sample) in reserve(sound, hold + frames_to_end(release)).iter_mut().enumerate() {
        let along = (seconds / tone.hold).min(1.0);
        let trill = 1.0 + tone.trill.0 * libm::sin(TAU * tone.trill.1 * seconds);
        turns += (from + (to - from) * along) * trill / second;
        turns -= libm::floor(turns);
        seconds += 1.0 / second;
        swell *= swells;
        if frame >= hold {
            level *= falls;
        }
        let (sin, cos) = libm::sincos(TAU * turns);
        // Sines of twice and three times the angle from that of one.
        let wave = sin
            + second_harmonic * 2.0 * sin * cos
            + third_harmonic * sin * (4.0 * cos * cos - 1.0);
        *sample += (wave * level * (1.0 - swell)) as f32;
    }
}
