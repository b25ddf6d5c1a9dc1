//! From a stroke to its sound.

use super::blow::Blow;
use super::patch::{Layer, Patch};
use super::room::{self, Sound};
use super::strike::{Technique, Voice};
use super::{modes, noise, plate, table, tone};

/// Which share of its time to die away a stroke keeps whose stick stays on the head.
const DEAD: f64 = 0.3;
/// The rim makes a stroke so much harder.
const RIM: f64 = 1.25;

/// What one rendered stroke sounds like, as loud as the hardest: level is for the mixer.
pub(super) fn render(voice: Voice, loudness: f64, variant: u64) -> Sound {
    let patch = table::patch(voice);
    let blow = Blow::new(loudness, (u64::from(voice.key) << 8) | variant);
    let blow = match voice.technique {
        Technique::Dead => blow.damped(DEAD),
        Technique::RimShot => blow.harder(RIM),
        Technique::Plain
        | Technique::HalfOpen
        | Technique::Sweep
        | Technique::Buzz { .. }
        | Technique::Click(_) => blow,
    };
    of_patch(patch, blow)
}

fn of_patch(patch: &Patch, mut blow: Blow) -> Sound {
    let mut mono = Vec::new();
    for layer in patch.layers.iter().flatten() {
        match layer {
            Layer::Modes(layer) => modes::add(layer, &mut blow, &mut mono),
            Layer::Wires(layer) => noise::add_wires(layer, &mut blow, &mut mono),
            Layer::Plate(layer) => plate::add(layer, &mut blow, &mut mono),
            Layer::Hiss(layer) => noise::add(layer, &mut blow, &mut mono),
            Layer::Grains(layer) => noise::add_grains(layer, &mut blow, &mut mono),
            Layer::Tone(layer) => tone::add(layer, &mut blow, &mut mono),
        }
    }
    room::placed(patch, blow.level, mono)
}
