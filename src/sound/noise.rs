//! Noises: of sticks, of metal too dense to hear its modes, of wires, of what is shaken and scraped.

use super::blow::{Blow, fall, frames, frames_to_end, reserve};
use super::filter::Filter;
use super::patch::{Grains, Hiss, Wires};
use super::strike::FRAMES_PER_SECOND;

/// The root mean square of even noise from -1 to 1.
const EVEN: f64 = 0.577_350_269;
/// The least width of a band in hertz.
const NARROWEST: f64 = 100.0;
/// How much the wires follow the head's single swings.
const WIRES_SWING: f64 = 0.35;
/// Where wires ring of themselves, in hertz, and how much louder they are there.
const WIRES_RING: (f64, f64) = (3_300.0, 1.6);

/// Noise in a band, of the amplitude 1 (root mean square).
struct Band {
    high_pass: Filter,
    low_pass: Filter,
    level: f64,
}

impl Band {
    fn new((low, high): (f64, f64), blow: &Blow) -> Self {
        let half = f64::from(FRAMES_PER_SECOND) / 2.0;
        // Referred to the width of the hardest, so that what is lost at the top is lost in level too.
        let width = (high - low).max(NARROWEST) / half;
        // Struck softly, the upper end comes down, but never to where nothing is left.
        let high = blow.reach(high).max(low * 1.2 + NARROWEST);
        Self {
            high_pass: Filter::high_pass(low),
            low_pass: Filter::low_pass(high),
            level: 1.0 / (EVEN * libm::sqrt(width)),
        }
    }

    #[inline]
    fn run(&mut self, input: f64) -> f64 {
        self.low_pass.run(self.high_pass.run(input)) * self.level
    }
}

/// Adds a noise to a sound.
pub(super) fn add(hiss: &Hiss, blow: &mut Blow, sound: &mut Vec<f32>) {
    add_at(hiss, blow, sound, (0, 1.0));
}

/// The same from a frame on, with a factor of its level.
fn add_at(hiss: &Hiss, blow: &mut Blow, sound: &mut Vec<f32>, (from, factor): (usize, f64)) {
    let decay = blow.decay(hiss.decay);
    let mut band = Band::new(hiss.band, blow);
    let swells = fall(hiss.attack * 6.9);
    let (mut swell, mut level, falls) = (1.0, hiss.level * factor, fall(decay));
    let length = from + frames_to_end(decay);
    for sample in &mut reserve(sound, length)[from..] {
        swell *= swells;
        level *= falls;
        *sample += (band.run(blow.random.signed()) * level * (1.0 - swell)) as f32;
    }
}

/// Adds small noises in a row to a sound.
pub(super) fn add_grains(grains: &Grains, blow: &mut Blow, sound: &mut Vec<f32>) {
    let last = f64::from(grains.count.max(2) - 1);
    for number in 0..grains.count {
        let strayed = f64::from(number) + grains.stray * 0.5 * blow.random.signed();
        let at = (strayed / last).clamp(0.0, 1.0);
        // A triangle from 0.15 at both ends to 1 at the summit.
        let near = if at < grains.summit {
            at / grains.summit.max(1e-6)
        } else {
            (1.0 - at) / (1.0 - grains.summit).max(1e-6)
        };
        let level = (0.15 + 0.85 * near) * blow.random.about(0.15);
        add_at(&grains.each, blow, sound, (frames(at * grains.span), level));
    }
}

/// Adds the wires of a snare drum to a sound, which so far is that of its head.
pub(super) fn add_wires(wires: &Wires, blow: &mut Blow, sound: &mut Vec<f32>) {
    let highest = sound.iter().fold(0.0_f32, |most, sample| most.max(sample.abs()));
    let scale = 1.0 / f64::from(highest.max(1e-9));
    let decay = blow.decay(wires.decay);
    let mut band = Band::new(wires.band, blow);
    let mut ring = Filter::peak(WIRES_RING.0, WIRES_RING.1);
    // The head lets go of the wires more slowly than it comes to rest.
    let (mut moved, falls) = (0.0_f64, fall(decay));
    // They follow the head within some tenths of a millisecond.
    let (mut followed, follows) = (0.0_f64, 0.06);
    for sample in reserve(sound, frames_to_end(decay)) {
        let swing = f64::from(*sample) * scale;
        moved = (moved * falls).max(swing.abs());
        followed += follows * (moved - followed);
        let rattle = followed * (1.0 - WIRES_SWING + WIRES_SWING * swing.max(0.0));
        let noise = ring.run(band.run(blow.random.signed()));
        *sample += (noise * rattle * wires.level) as f32;
    }
}
