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
const STICKS: Patch = bar(&BAR, 2_150.0, 0.05, 6_000.0, 0.2, -0.1);

/// The keys of General MIDI 2, from 27 to 87.
#[rustfmt::skip]
static KEYS: [(u8, Patch); 61] = [
    // High Q: a tone that falls fast.
    (27, Patch {
        level: 0.3, place: 0.0, room: 0.5, damp: 0.03,
        layers: layers([Held(Tone {
            pitch: (2_600.0, 700.0), hold: 0.06, attack_release: (0.001, 0.05), trill: (0.0, 0.0),
            harmonics: (0.1, 0.0), level: 0.5,
        })]),
    }),
    // Slap.
    (28, Patch {
        level: 0.5, place: 0.0, room: 0.8, damp: 0.03,
        layers: layers([
            Noise(Hiss::of((500.0, 4_500.0), 0.0004, 0.07, 0.3)),
            Ring(Modes::of(&MEMBRANE, 320.0, 0.06, 2_000.0, 0.4)),
        ]),
    }),
    // Scratch, pushed and pulled.
    (29, scraped(14, 0.11, 500.0, 3_500.0, 0.0)),
    (30, scraped(14, 0.14, 350.0, 2_600.0, 0.0)),
    (31, STICKS),
    // Square click.
    (32, bar(&BAR, 950.0, 0.03, 5_000.0, 0.1, 0.0)),
    // Metronome: click and bell.
    (33, bar(&BLOCK, 1_500.0, 0.05, 5_000.0, 0.12, 0.0)),
    (34, bar(&BELL, 1_150.0, 0.9, 5_000.0, 0.05, 0.0)),
    // Two kicks.
    (35, kick(50.0, 0.42)),
    (36, kick(56.0, 0.34)),
    (37, CROSS_STICK),
    // Snare drum.
    (38, snare(188.0, 0.19, 0.26)),
    // Clap of hands: a few of them, not quite together.
    (39, Patch {
        level: 0.5, place: 0.15, room: 1.4, damp: 0.05,
        layers: layers([
            Rattle(Grains::of(4, 0.028, 0.5, 0.8, Hiss::of((750.0, 3_200.0), 0.0006, 0.03, 0.42))),
            Noise(Hiss::of((900.0, 3_000.0), 0.03, 0.22, 0.14)),
        ]),
    }),
    // A second snare drum, tuned higher.
    (40, snare(232.0, 0.15, 0.2)),
    (41, tom(72.0, 0.95, 0.42)),
    (42, CLOSED_HAT),
    (43, tom(88.0, 0.85, 0.34)),
    (44, FOOT_HAT),
    (45, tom(106.0, 0.72, 0.16)),
    (46, OPEN_HAT),
    (47, tom(126.0, 0.64, 0.04)),
    (48, tom(150.0, 0.56, -0.1)),
    (49, crash(49, 1.0, -0.42)),
    (50, tom(178.0, 0.48, -0.22)),
    (51, ride(51, 0.38)),
    // China: trashy, short, at the far right.
    (52, Patch {
        level: 0.36, place: 0.5, room: 0.4, damp: 0.14,
        layers: layers([
            Metal(Plate::of(52, (260.0, 8_000.0), 150, 1.7, 0.3).shaped(0.15, 0.35, 6_000.0)),
            Noise(Hiss::of((1_300.0, 6_000.0), 0.006, 0.9, 0.3)),
            Noise(Hiss::of((5_000.0, 11_000.0), 0.015, 0.6, 0.13)),
        ]),
    }),
    (53, Patch {
        level: 0.34, place: 0.36, room: 0.4, damp: 0.14,
        layers: layers([
            Ring(Modes::of(&CUP, 395.0, 2.6, 7_000.0, 0.16).damped(0.45)),
            Metal(Plate::of(51, (320.0, 9_500.0), 56, 2.2, 0.1).shaped(0.2, 0.5, 8_000.0)),
            Noise(Hiss::of((4_000.0, 10_000.0), 0.0005, 0.06, 0.12)),
        ]),
    }),
    // Tambourine: head of the hand, jingles.
    (54, Patch {
        level: 0.4, place: -0.2, room: 0.6, damp: 0.05,
        layers: layers([
            Metal(Plate::of(54, (3_300.0, 11_000.0), 40, 0.35, 0.16).shaped(0.2, 0.4, 11_000.0)),
            Rattle(Grains::of(7, 0.09, 1.0, 0.15, Hiss::of((4_000.0, 10_500.0), 0.001, 0.09, 0.14))),
        ]),
    }),
    // Splash.
    (55, Patch {
        level: 0.34, place: -0.15, room: 0.4, damp: 0.1,
        layers: layers([
            Metal(Plate::of(55, (560.0, 10_000.0), 96, 1.0, 0.26).shaped(0.1, 0.3, 8_000.0)),
            Noise(Hiss::of((2_500.0, 8_500.0), 0.002, 0.55, 0.2)),
            Noise(Hiss::of((6_000.0, 13_000.0), 0.006, 0.4, 0.17)),
        ]),
    }),
    // Cowbell: two modes a fifth apart.
    (56, bar(&BELL, 545.0, 0.34, 4_500.0, 0.08, 0.12)),
    (57, crash(57, 0.86, 0.46)),
    // Vibraslap.
    (58, Patch {
        level: 0.36, place: 0.25, room: 0.8, damp: 0.06,
        layers: layers([
            Rattle(Grains::of(32, 0.95, 0.12, 0.0, Hiss::of((1_700.0, 5_500.0), 0.0008, 0.03, 0.4))),
            Ring(Modes::of(&BLOCK, 1_900.0, 0.15, 5_000.0, 0.12)),
        ]),
    }),
    (59, ride(59, 0.44)),
    // Bongos and congas.
    (60, hand_drum(415.0, 0.16, 0.16, -0.2)),
    (61, hand_drum(310.0, 0.2, 0.14, -0.1)),
    (62, hand_drum(245.0, 0.07, 0.2, 0.2)),
    (63, hand_drum(220.0, 0.38, 0.12, 0.2)),
    (64, hand_drum(165.0, 0.44, 0.1, 0.3)),
    (65, timbale(330.0, -0.15)),
    (66, timbale(235.0, 0.05)),
    // Agogo.
    (67, bar(&BELL, 1_130.0, 0.6, 6_500.0, 0.05, 0.3)),
    (68, bar(&BELL, 760.0, 0.7, 5_500.0, 0.05, 0.3)),
    // Cabasa, maracas.
    (69, shaken(12, 0.07, 3_500.0, 9_500.0, 0.42)),
    (70, shaken(7, 0.035, 3_800.0, 9_000.0, 0.42)),
    (71, whistle(0.14)),
    (72, whistle(0.5)),
    // Guiro.
    (73, scraped(9, 0.08, 1_800.0, 5_500.0, 0.25)),
    (74, scraped(30, 0.34, 1_700.0, 5_200.0, 0.25)),
    // Claves, wood blocks.
    (75, bar(&BAR, 2_450.0, 0.09, 6_500.0, 0.04, -0.25)),
    (76, bar(&BLOCK, 1_010.0, 0.09, 4_500.0, 0.08, 0.15)),
    (77, bar(&BLOCK, 740.0, 0.11, 3_800.0, 0.08, 0.15)),
    (78, cuica(420.0, 620.0, 0.07)),
    (79, cuica(330.0, 290.0, 0.22)),
    // Triangle.
    (80, bar(&ROD, 1_250.0, 0.16, 10_000.0, 0.03, -0.3)),
    (81, bar(&ROD, 1_250.0, 2.4, 10_000.0, 0.03, -0.3)),
    (82, shaken(10, 0.06, 4_000.0, 10_500.0, 0.38)),
    // Jingle bell.
    (83, Patch {
        level: 0.34, place: 0.2, room: 0.7, damp: 0.08,
        layers: layers([
            Metal(Plate::of(83, (2_400.0, 8_500.0), 32, 0.5, 0.2).shaped(0.0, 0.5, 9_000.0)),
            Rattle(Grains::of(6, 0.12, 1.0, 0.2, Hiss::of((4_000.0, 9_000.0), 0.001, 0.08, 0.08))),
        ]),
    }),
    // Bell tree.
    (84, bar(&ROD, 980.0, 2.2, 9_000.0, 0.02, -0.3)),
    // Castanets.
    (85, Patch {
        level: 0.42, place: 0.1, room: 0.8, damp: 0.03,
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
        level: 0.8, place: 0.0, room: 0.35, damp: 0.07,
        layers: layers([
            Ring(Modes::of(&MIDDLE, pitch, decay, 500.0, 0.85).damped(1.2).glides(0.9, 0.022)),
            // The beater.
            Noise(Hiss::of((300.0, 3_400.0), 0.0008, 0.028, 0.2)),
            Ring(Modes::of(&MEMBRANE, 190.0, 0.05, 2_600.0, 0.22).damped(0.4)),
        ]),
    }
}

/// A snare drum: pitch, decay of its heads, decay of its wires.
#[rustfmt::skip]
const fn snare(pitch: f64, decay: f64, wires: f64) -> Patch {
    Patch {
        level: 0.6, place: -0.06, room: 1.0, damp: 0.06,
        layers: layers([
            Ring(Modes::of(&COUPLED, pitch, decay, 2_200.0, 0.42).damped(0.5).glides(0.08, 0.012)),
            Snare(Wires { band: (1_100.0, 9_000.0), decay: wires, level: 0.33 }),
            // The stick.
            Noise(Hiss::of((900.0, 7_000.0), 0.0003, 0.022, 0.26)),
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
    level: 0.5, place: -0.06, room: 1.0, damp: 0.03,
    layers: layers([
        Ring(Modes::of(&BLOCK, 1_480.0, 0.06, 4_500.0, 0.4).damped(0.6)),
        Ring(Modes::of(&COUPLED, 410.0, 0.05, 2_500.0, 0.35)),
        Noise(Hiss::of((1_200.0, 6_500.0), 0.0003, 0.025, 0.2)),
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
    level: 0.36, place: -0.4, room: 0.5, damp: 0.04,
    layers: layers([
        Metal(Plate::of(42, (700.0, 11_000.0), 48, 0.16, 0.12).shaped(0.0, 0.3, 9_000.0)),
        Noise(Hiss::of((4_200.0, 11_000.0), 0.0004, 0.085, 0.34)),
        Noise(Hiss::of((6_500.0, 13_000.0), 0.001, 0.16, 0.06)),
    ]),
};

/// Hi-hat closed by the foot alone.
#[rustfmt::skip]
const FOOT_HAT: Patch = Patch {
    level: 0.32, place: -0.4, room: 0.5, damp: 0.04,
    layers: layers([
        Metal(Plate::of(42, (450.0, 8_000.0), 40, 0.12, 0.16).shaped(0.2, 0.3, 6_000.0)),
        Noise(Hiss::of((2_600.0, 8_500.0), 0.003, 0.09, 0.26)),
    ]),
};

/// Hi-hat whose cymbals just touch.
#[rustfmt::skip]
const HALF_OPEN_HAT: Patch = Patch {
    level: 0.34, place: -0.4, room: 0.4, damp: 0.05,
    layers: layers([
        Metal(Plate::of(42, (500.0, 11_000.0), 72, 0.5, 0.2).shaped(0.1, 0.3, 8_500.0)),
        Noise(Hiss::of((3_600.0, 10_500.0), 0.0006, 0.36, 0.3)),
        Noise(Hiss::of((6_500.0, 13_000.0), 0.003, 0.4, 0.08)),
    ]),
};

/// Hi-hat open.
#[rustfmt::skip]
const OPEN_HAT: Patch = Patch {
    level: 0.34, place: -0.4, room: 0.4, damp: 0.06,
    layers: layers([
        Metal(Plate::of(42, (430.0, 11_500.0), 104, 1.5, 0.24).shaped(0.1, 0.3, 8_500.0)),
        Noise(Hiss::of((3_600.0, 10_500.0), 0.001, 0.85, 0.24)),
        Noise(Hiss::of((6_500.0, 13_000.0), 0.004, 0.7, 0.11)),
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

static CLICK_ACCENT: Patch = click(1_560.0, 0.5);
static CLICK_BEAT: Patch = click(1_170.0, 0.42);
static CLICK_SUBDIVISION: Patch = click(880.0, 0.3);
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
