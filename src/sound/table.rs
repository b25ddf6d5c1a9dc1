//! The kit of our own: what each key, technique and click sounds like, a line each. The numbers are tuned
//! by ear's proxies (spectral centroid, time to fall by 60 dB, crest factor), no source; what they mean is
//! told at the families and in `patch`: frequencies in hertz, times in seconds, amplitudes of 1.

use super::families::{
    BAR, BELL, BLOCK, COUPLED, CUP, MEMBRANE, MIDDLE, ROD, bar, click, crash, cuica, hand_drum,
    ride, scraped, shaken, timbale, tom, whistle,
};
use super::patch::Layer::{Grains as Rattle, Hiss as Noise, Modes as Ring, Plate as Metal};
use super::patch::Layer::{Tone as Held, Wires as Snare};
use super::patch::{Grains, Hiss, Modes, Patch, Plate, Tone, Wires, layers};
use super::strike::{ClickKind, Technique, Voice};

/// Sticks struck together: what a key that no line has sounds like.
const STICKS: Patch = bar(&BAR, 2_350.0, 0.05, 16_000.0, 0.24, -0.1).at(0.9);

/// The keys of General MIDI 2, from 27 to 87.
#[rustfmt::skip]
static KEYS: [(u8, Patch); 61] = [
    // High Q: a tone that falls fast.
    (27, Patch {
        level: 0.6, place: 0.0, room: 0.5, damp: 0.03,
        layers: layers([Held(Tone {
            pitch: (2_600.0, 700.0), hold: 0.06, attack_release: (0.001, 0.05), trill: (0.0, 0.0),
            harmonics: (0.1, 0.0), level: 0.5,
        })]),
    }),
    // Slap.
    (28, Patch {
        level: 1.1, place: 0.0, room: 0.8, damp: 0.03,
        layers: layers([
            Noise(Hiss::of((500.0, 4_500.0), 0.001, 0.07, 0.3)),
            Ring(Modes::of(&MEMBRANE, 320.0, 0.06, 2_000.0, 0.4)),
        ]),
    }),
    // Scratch, pushed and pulled.
    (29, scraped(14, 0.11, 500.0, 3_500.0, 0.0).at(1.2)),
    (30, scraped(14, 0.14, 350.0, 2_600.0, 0.0).at(1.2)),
    (31, STICKS),
    // Square click.
    (32, bar(&BAR, 950.0, 0.03, 5_000.0, 0.1, 0.0)),
    // Metronome: click and bell.
    (33, bar(&BLOCK, 1_700.0, 0.05, 9_000.0, 0.16, 0.0)),
    (34, bar(&BELL, 1_350.0, 0.9, 9_000.0, 0.05, 0.0).at(0.36)),
    // Two kicks.
    (35, kick(50.0, 0.42)),
    (36, kick(56.0, 0.34)),
    (37, CROSS_STICK),
    // Snare drum.
    (38, snare(204.0, 0.3, 0.36)),
    // Clap of hands: a few of them, not quite together.
    (39, Patch {
        level: 0.95, place: 0.15, room: 1.4, damp: 0.05,
        layers: layers([
            Rattle(Grains::of(4, 0.03, 0.5, 0.8, Hiss::of((800.0, 3_600.0), 0.0006, 0.04, 0.85))),
            Noise(Hiss::of((900.0, 3_200.0), 0.03, 0.26, 0.4)),
        ]),
    }),
    // A second snare drum, tuned higher.
    (40, snare(246.0, 0.25, 0.3)),
    (41, tom(72.0, 1.25, 0.42)),
    (42, CLOSED_HAT),
    (43, tom(88.0, 1.15, 0.34)),
    (44, FOOT_HAT),
    (45, tom(106.0, 1.0, 0.16)),
    (46, OPEN_HAT),
    (47, tom(126.0, 0.92, 0.04)),
    (48, tom(150.0, 0.84, -0.1)),
    (49, crash(49, 1.0, -0.42)),
    (50, tom(178.0, 0.76, -0.22)),
    (51, ride(51, 0.38)),
    // China: trashy, short, at the far right.
    (52, Patch {
        level: 0.29, place: 0.5, room: 0.4, damp: 0.14,
        layers: layers([
            Metal(Plate::of(52, (260.0, 10_000.0), 150, 3.2, 0.3).shaped(-0.1, 0.3, 9_000.0)),
            Noise(Hiss::of((2_000.0, 8_000.0), 0.005, 1.2, 0.3)),
            Noise(Hiss::of((5_000.0, 11_000.0), 0.015, 0.6, 0.13)),
        ]),
    }),
    (53, Patch {
        level: 0.26, place: 0.36, room: 0.4, damp: 0.14,
        layers: layers([
            Ring(Modes::of(&CUP, 515.0, 3.4, 12_000.0, 0.06).damped(0.35)),
            Ring(Modes::of(&CUP, 1_180.0, 0.9, 14_000.0, 0.16).damped(0.3)),
            Metal(Plate::of(51, (800.0, 12_000.0), 72, 2.4, 0.13).shaped(-0.2, 0.36, 13_000.0)),
            Noise(Hiss::of((3_500.0, 12_000.0), 0.0004, 0.05, 0.3)),
        ]),
    }),
    // Tambourine: head of the hand, jingles.
    (54, Patch {
        level: 0.54, place: -0.2, room: 0.6, damp: 0.05,
        layers: layers([
            Metal(Plate::of(54, (4_500.0, 14_000.0), 40, 0.5, 0.4).shaped(-0.2, 0.3, 14_000.0)),
            Rattle(Grains::of(7, 0.09, 1.0, 0.15, Hiss::of((5_000.0, 13_000.0), 0.001, 0.14, 0.36))),
        ]),
    }),
    // Splash.
    (55, Patch {
        level: 0.29, place: -0.15, room: 0.4, damp: 0.1,
        layers: layers([
            Metal(Plate::of(55, (560.0, 13_500.0), 128, 2.6, 0.22).shaped(-0.3, 0.36, 12_000.0)),
            Noise(Hiss::of((2_500.0, 8_500.0), 0.002, 0.55, 0.2)),
            Noise(Hiss::of((6_000.0, 13_000.0), 0.006, 0.4, 0.17)),
        ]),
    }),
    // Cowbell: two modes a fifth apart.
    (56, cowbell(562.0, 0.36, 0.12)),
    (57, crash(57, 0.86, 0.46)),
    // Vibraslap.
    (58, Patch {
        level: 1.2, place: 0.25, room: 0.8, damp: 0.06,
        layers: layers([
            Rattle(Grains::of(32, 0.95, 0.12, 0.0, Hiss::of((1_700.0, 5_500.0), 0.0008, 0.03, 0.4))),
            Ring(Modes::of(&BLOCK, 1_900.0, 0.15, 5_000.0, 0.12)),
        ]),
    }),
    (59, ride(59, 0.44)),
    // Bongos and congas.
    (60, hand_drum(415.0, 0.2, 0.22, -0.2)),
    (61, hand_drum(310.0, 0.26, 0.2, -0.1)),
    (62, hand_drum(262.0, 0.1, 0.3, 0.2)),
    (63, hand_drum(220.0, 0.5, 0.14, 0.2)),
    (64, hand_drum(170.0, 0.5, 0.12, 0.3)),
    (65, timbale(330.0, -0.15)),
    (66, timbale(235.0, 0.05)),
    // Agogo.
    (67, bar(&BELL, 1_130.0, 0.6, 14_000.0, 0.14, 0.3).at(0.46)),
    (68, bar(&BELL, 760.0, 0.7, 12_000.0, 0.12, 0.3).at(0.42)),
    // Cabasa, maracas.
    (69, shaken(12, 0.07, 5_000.0, 12_500.0, 1.7)),
    (70, shaken(7, 0.035, 5_000.0, 12_000.0, 1.9)),
    (71, whistle(0.14)),
    (72, whistle(0.5)),
    // Guiro.
    (73, scraped(9, 0.08, 1_800.0, 5_500.0, 0.25).at(0.95)),
    (74, scraped(30, 0.34, 1_700.0, 5_200.0, 0.25).at(0.9)),
    // Claves, wood blocks.
    (75, bar(&BAR, 2_350.0, 0.09, 6_500.0, 0.06, -0.25).at(1.0)),
    (76, bar(&BLOCK, 1_010.0, 0.1, 14_000.0, 0.3, 0.15).at(0.95)),
    (77, bar(&BLOCK, 740.0, 0.12, 13_000.0, 0.34, 0.15).at(0.95)),
    (78, cuica(420.0, 620.0, 0.07)),
    (79, cuica(330.0, 290.0, 0.22)),
    // Triangle.
    (80, triangle(0.24)),
    (81, triangle(2.6)),
    (82, shaken(10, 0.06, 5_000.0, 12_500.0, 1.8)),
    // Jingle bell.
    (83, Patch {
        level: 0.9, place: 0.2, room: 0.7, damp: 0.08,
        layers: layers([
            Metal(Plate::of(83, (3_600.0, 11_500.0), 32, 0.7, 0.2).shaped(-0.2, 0.3, 14_000.0)),
            Rattle(Grains::of(6, 0.12, 1.0, 0.2, Hiss::of((4_000.0, 9_000.0), 0.001, 0.08, 0.08))),
        ]),
    }),
    // Bell tree.
    (84, bar(&ROD, 1_750.0, 2.6, 16_000.0, 0.02, -0.3).at(0.34)),
    // Castanets.
    (85, Patch {
        level: 1.4, place: 0.1, room: 0.8, damp: 0.03,
        layers: layers([
            Rattle(Grains::of(3, 0.03, 0.6, 0.0, Hiss::of((1_300.0, 4_500.0), 0.0004, 0.03, 0.3))),
            Ring(Modes::of(&BLOCK, 1_550.0, 0.05, 5_000.0, 0.4)),
        ]),
    }),
    // Surdo.
    (86, surdo(0.16)),
    (87, surdo(0.9)),
];

/// A kick drum: pitch, decay.
#[rustfmt::skip]
const fn kick(pitch: f64, decay: f64) -> Patch {
    Patch {
        level: 0.75, place: 0.0, room: 0.35, damp: 0.07,
        layers: layers([
            Ring(Modes::of(&MIDDLE, pitch, decay, 500.0, 0.72).damped(1.0).glides(0.75, 0.03)),
            // The beater.
            Noise(Hiss::of((1_200.0, 5_200.0), 0.0005, 0.03, 0.32)),
            Ring(Modes::of(&MEMBRANE, 135.0, 0.12, 1_800.0, 0.22).damped(0.4)),
        ]),
    }
}

/// A snare drum: pitch, decay of its heads, decay of its wires.
#[rustfmt::skip]
const fn snare(pitch: f64, decay: f64, wires: f64) -> Patch {
    Patch {
        level: 0.6, place: -0.06, room: 1.0, damp: 0.06,
        layers: layers([
            Ring(Modes::of(&COUPLED, pitch, decay, 1_800.0, 0.5).damped(0.45).glides(0.06, 0.015)),
            Snare(Wires { band: (850.0, 7_500.0), decay: wires, level: 0.27 }),
            // The stick.
            Noise(Hiss::of((700.0, 6_500.0), 0.0003, 0.022, 0.24)),
        ]),
    }
}

/// A cowbell: two modes that clash, pitch, decay, place.
#[rustfmt::skip]
const fn cowbell(pitch: f64, decay: f64, place: f64) -> Patch {
    Patch {
        level: 0.43, place, room: 0.8, damp: 0.05,
        layers: layers([
            Ring(Modes::of(&BELL, pitch, decay, 5_000.0, 0.4).damped(0.6)),
            Ring(Modes::of(&BELL, 3.2 * pitch, 0.5 * decay, 9_000.0, 0.46).damped(0.4)),
            Noise(Hiss::of((1_500.0, 9_000.0), 0.0003, 0.04, 0.3)),
        ]),
    }
}

/// A triangle: decay.
#[rustfmt::skip]
const fn triangle(decay: f64) -> Patch {
    Patch {
        level: 0.2, place: -0.3, room: 0.8, damp: 0.05,
        layers: layers([
            Ring(Modes::of(&ROD, 2_150.0, decay, 40_000.0, 0.5).damped(0.4)),
            Ring(Modes::of(&ROD, 2_650.0, 0.12, 40_000.0, 0.4).damped(0.2)),
            Noise(Hiss::of((3_000.0, 14_000.0), 0.0003, 0.02, 0.4)),
        ]),
    }
}

/// A surdo: decay.
#[rustfmt::skip]
const fn surdo(decay: f64) -> Patch {
    Patch {
        level: 0.75, place: 0.1, room: 0.6, damp: 0.08,
        layers: layers([
            Ring(Modes::of(&MEMBRANE, 78.0, decay, 420.0, 0.7).glides(0.1, 0.04)),
            Noise(Hiss::of((200.0, 1_500.0), 0.001, 0.04, 0.06)),
        ]),
    }
}

/// Stick across the rim, its tip on the head.
#[rustfmt::skip]
const CROSS_STICK: Patch = Patch {
    level: 0.85, place: -0.06, room: 1.2, damp: 0.03,
    layers: layers([
        Ring(Modes::of(&BLOCK, 1_780.0, 0.11, 12_000.0, 0.42).damped(0.2)),
        Ring(Modes::of(&COUPLED, 410.0, 0.07, 2_500.0, 0.15)),
        // The wires answer, softly.
        Snare(Wires { band: (1_200.0, 7_000.0), decay: 0.5, level: 0.012 }),
        Noise(Hiss::of((2_000.0, 11_000.0), 0.0003, 0.03, 0.42)),
    ]),
};

/// Head and rim of the snare drum at once.
#[rustfmt::skip]
const SNARE_RIM_SHOT: Patch = Patch {
    level: 0.66, place: -0.06, room: 1.1, damp: 0.06,
    layers: layers([
        Ring(Modes::of(&COUPLED, 196.0, 0.24, 3_200.0, 0.4).damped(0.35).glides(0.1, 0.012)),
        Snare(Wires { band: (1_100.0, 9_500.0), decay: 0.24, level: 0.3 }),
        Ring(Modes::of(&BELL, 835.0, 0.16, 5_000.0, 0.2)),
        Noise(Hiss::of((900.0, 7_500.0), 0.0003, 0.022, 0.3)),
    ]),
};

/// Hi-hat closed by the pedal, struck with the tip.
#[rustfmt::skip]
const CLOSED_HAT: Patch = Patch {
    level: 0.32, place: -0.4, room: 0.5, damp: 0.04,
    layers: layers([
        Metal(Plate::of(42, (420.0, 13_000.0), 72, 0.3, 0.16).shaped(-0.15, 0.12, 12_000.0)),
        Noise(Hiss::of((5_000.0, 14_000.0), 0.0004, 0.14, 0.32)),
        Noise(Hiss::of((7_000.0, 15_000.0), 0.001, 0.24, 0.10)),
    ]),
};

/// Hi-hat closed by the foot alone.
#[rustfmt::skip]
const FOOT_HAT: Patch = Patch {
    level: 0.26, place: -0.4, room: 0.5, damp: 0.04,
    layers: layers([
        Metal(Plate::of(42, (450.0, 9_000.0), 48, 0.18, 0.16).shaped(0.1, 0.2, 9_000.0)),
        Noise(Hiss::of((3_600.0, 11_000.0), 0.003, 0.13, 0.34)),
    ]),
};

/// Hi-hat whose cymbals just touch.
#[rustfmt::skip]
const HALF_OPEN_HAT: Patch = Patch {
    level: 0.235, place: -0.4, room: 0.4, damp: 0.05,
    layers: layers([
        Metal(Plate::of(42, (600.0, 12_500.0), 80, 0.7, 0.2).shaped(0.0, 0.25, 10_500.0)),
        Noise(Hiss::of((4_400.0, 12_500.0), 0.0006, 0.45, 0.3)),
        Noise(Hiss::of((7_000.0, 14_000.0), 0.003, 0.5, 0.10)),
    ]),
};

/// Hi-hat open.
#[rustfmt::skip]
const OPEN_HAT: Patch = Patch {
    level: 0.24, place: -0.4, room: 0.4, damp: 0.06,
    layers: layers([
        Metal(Plate::of(42, (430.0, 12_500.0), 104, 3.2, 0.18).shaped(-0.1, 0.2, 11_000.0)),
        Noise(Hiss::of((4_200.0, 12_000.0), 0.0006, 0.16, 0.36)),
        Noise(Hiss::of((4_200.0, 11_500.0), 0.001, 1.9, 0.14)),
        Noise(Hiss::of((7_000.0, 14_000.0), 0.004, 1.0, 0.12)),
    ]),
};

/// A brush drawn over a head.
#[rustfmt::skip]
const SWEEP: Patch = Patch {
    level: 0.4, place: -0.06, room: 0.7, damp: 0.08,
    layers: layers([
        Rattle(Grains::of(26, 0.24, 1.0, 0.45, Hiss::of((900.0, 5_500.0), 0.012, 0.09, 0.075))),
        Noise(Hiss::of((700.0, 4_500.0), 0.05, 0.42, 0.13)),
    ]),
};

static CLICK_ACCENT: Patch = click(1_560.0, 0.6);
static CLICK_BEAT: Patch = click(1_170.0, 0.52);
static CLICK_SUBDIVISION: Patch = click(880.0, 0.36);
static FALL_BACK: Patch = STICKS;
static RIM_SHOT: Patch = SNARE_RIM_SHOT;
static HALF_OPEN: Patch = HALF_OPEN_HAT;
static SWEPT: Patch = SWEEP;

/// The snare drums; what of them is struck in another way has a line of its own.
const SNARES: [u8; 2] = [38, 40];
/// The hi-hat in the hands.
const HATS: [u8; 2] = [42, 46];

/// What a voice sounds like.
pub(super) fn patch(voice: Voice) -> &'static Patch {
    let plain =
        || KEYS.iter().find(|(key, _)| *key == voice.key).map_or(&FALL_BACK, |(_, patch)| patch);
    match voice.technique {
        Technique::Click(ClickKind::Accent) => &CLICK_ACCENT,
        Technique::Click(ClickKind::Beat) => &CLICK_BEAT,
        Technique::Click(ClickKind::Subdivision) => &CLICK_SUBDIVISION,
        Technique::HalfOpen if HATS.contains(&voice.key) => &HALF_OPEN,
        Technique::RimShot if SNARES.contains(&voice.key) => &RIM_SHOT,
        Technique::Sweep => &SWEPT,
        Technique::HalfOpen
        | Technique::RimShot
        | Technique::Plain
        | Technique::Dead
        | Technique::Buzz { .. } => plain(),
    }
}
