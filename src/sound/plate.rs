//! Plates of metal: very many modes that are no multiples of each other. They are turned eight at a time,
//! in single precision: a cymbal has two hundred.

use super::blow::{Blow, fall, frames_to_end, reserve};
use super::patch::Plate;
use super::random::Random;
use super::strike::FRAMES_PER_SECOND;
use std::f64::consts::TAU;

/// Modes that are turned at once.
const LANES: usize = 8;
/// Modes above this are left out, in hertz.
const HIGHEST: f64 = 20_000.0;
/// How far a mode strays from its place among the others, in distances, and its amplitude from that of the
/// others. Common practice, no source.
const STRAY: f64 = 0.9;
const AMPLITUDES: (f64, f64) = (0.3, 1.0);

/// One mode of a stroke.
#[derive(Clone, Copy, Default)]
struct Mode {
    hertz: f64,
    amplitude: f64,
    decay: f64,
}

/// Adds the modes of a stroke to a sound.
pub(super) fn add(plate: &Plate, blow: &mut Blow, sound: &mut Vec<f32>) {
    // From low to high: those that die away together are turned together.
    let modes: Vec<Mode> = modes(plate, blow);
    for lanes in modes.chunks(LANES) {
        let longest = lanes.iter().map(|mode| mode.decay).fold(0.0, f64::max);
        Lanes::new(lanes).run(reserve(sound, frames_to_end(longest)));
    }
}

fn modes(plate: &Plate, blow: &mut Blow) -> Vec<Mode> {
    // What the plate itself is like does not change with the stroke.
    let mut of_plate = Random::new(plate.which);
    let (low, high) = plate.band;
    let (mut modes, mut power) = (Vec::new(), 0.0);
    for place in 0..plate.count {
        let at =
            (f64::from(place) + 0.5 + STRAY * 0.5 * of_plate.signed()) / f64::from(plate.count);
        let own = AMPLITUDES.0 + (AMPLITUDES.1 - AMPLITUDES.0) * of_plate.unit();
        let hertz = blow.pitch(low + (high - low) * libm::pow(at, plate.crowd));
        let amplitude = own * libm::pow(hertz / low, -plate.tilt);
        power += amplitude * amplitude / 2.0;
        // Where a plate is struck, modes go up or down at first.
        let sign = if blow.random.signed() < 0.0 { -1.0 } else { 1.0 };
        let amplitude = sign * amplitude * blow.excites(hertz, plate.reach);
        let decay = blow.decay(plate.decay) / libm::pow((hertz / low).max(1.0), plate.damping);
        if hertz < HIGHEST {
            modes.push(Mode { hertz, amplitude, decay });
        }
    }
    let level = plate.level / libm::sqrt(power.max(1e-9));
    modes.iter_mut().for_each(|mode| mode.amplitude *= level);
    modes
}

struct Lanes {
    re: [f32; LANES],
    im: [f32; LANES],
    cos: [f32; LANES],
    sin: [f32; LANES],
}

impl Lanes {
    fn new(modes: &[Mode]) -> Self {
        let mode = |lane: usize| modes.get(lane).copied().unwrap_or_default();
        let turn = |lane: usize, of: fn(f64) -> f64| {
            let mode = mode(lane);
            let angle = TAU * mode.hertz / f64::from(FRAMES_PER_SECOND);
            (of(angle) * fall(mode.decay)) as f32
        };
        Self {
            re: std::array::from_fn(|lane| mode(lane).amplitude as f32),
            im: [0.0; LANES],
            cos: std::array::from_fn(|lane| turn(lane, libm::cos)),
            sin: std::array::from_fn(|lane| turn(lane, libm::sin)),
        }
    }

    fn run(mut self, out: &mut [f32]) {
        for sample in out {
            for lane in 0..LANES {
                let (re, im) = (self.re[lane], self.im[lane]);
                self.re[lane] = re * self.cos[lane] - im * self.sin[lane];
                self.im[lane] = re * self.sin[lane] + im * self.cos[lane];
            }
            let [a, b, c, d, e, f, g, h] = self.im;
            *sample += ((a + e) + (c + g)) + ((b + f) + (d + h));
        }
    }
}
