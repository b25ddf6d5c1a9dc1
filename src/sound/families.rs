//! Families of sounds: what instruments of one kind share. Every number is tuned by ear's
//! proxies (spectral centroid, time to fall by 60 dB, crest factor), no source; frequencies of ideal
//! membranes, bars and shells are as Fletcher and Rossing, The Physics of Musical Instruments, have them.
//!
//! The words of a line are told in `patch`: frequencies in hertz, times in seconds, amplitudes of 1.

use super::patch::Layer::{
    Grains as Rattle, Hiss as Noise, Modes as Ring, Plate as Metal, Tone as Held,
};
use super::patch::{Grains, Hiss, Mode, Modes, Patch, Plate, Tone, layers};

/// An ideal membrane struck between its middle and its rim: zeros of Bessel functions, amplitudes falling.
pub(super) const MEMBRANE: [Mode; 11] = [
    (1.0, 1.0),
    (1.593, 0.62),
    (2.135, 0.4),
    (2.295, 0.3),
    (2.653, 0.26),
    (2.917, 0.2),
    (3.155, 0.17),
    (3.5, 0.14),
    (3.6, 0.12),
    (4.06, 0.09),
    (4.23, 0.07),
];
/// The same struck in the middle: of the modes with nodal diameters little is heard.
pub(super) const MIDDLE: [Mode; 6] =
    [(1.0, 1.0), (1.593, 0.14), (2.135, 0.05), (2.295, 0.3), (3.6, 0.14), (4.9, 0.06)];
/// Two heads coupled by the air between them, as of a snare drum: the lowest mode is split.
pub(super) const COUPLED: [Mode; 9] = [
    (1.0, 1.0),
    (1.78, 0.55),
    (1.62, 0.35),
    (2.3, 0.4),
    (2.75, 0.3),
    (3.3, 0.24),
    (3.9, 0.2),
    (4.6, 0.15),
    (5.5, 0.1),
];
/// A free bar: 1, 2.756, 5.404, 8.933.
pub(super) const BAR: [Mode; 4] = [(1.0, 1.0), (2.756, 0.45), (5.404, 0.22), (8.933, 0.08)];
/// A hollow block of wood.
pub(super) const BLOCK: [Mode; 5] =
    [(1.0, 1.0), (1.47, 0.35), (2.58, 0.3), (3.9, 0.16), (5.6, 0.08)];
/// A bell of folded sheet metal.
pub(super) const BELL: [Mode; 8] = [
    (1.0, 1.0),
    (1.504, 0.8),
    (2.04, 0.3),
    (2.87, 0.42),
    (3.76, 0.3),
    (4.57, 0.2),
    (5.88, 0.16),
    (7.9, 0.1),
];
/// A steel rod bent to a triangle.
pub(super) const ROD: [Mode; 9] = [
    (1.0, 0.35),
    (1.72, 0.7),
    (2.31, 0.5),
    (3.12, 1.0),
    (4.25, 0.7),
    (5.4, 0.6),
    (6.9, 0.5),
    (8.3, 0.35),
    (9.7, 0.25),
];
/// The bell of a cymbal.
pub(super) const CUP: [Mode; 10] = [
    (1.0, 0.55),
    (1.51, 0.8),
    (2.24, 1.0),
    (2.98, 0.75),
    (3.87, 0.6),
    (4.9, 0.5),
    (6.1, 0.4),
    (7.4, 0.3),
    (8.8, 0.22),
    (10.3, 0.16),
];

/// A tom: pitch, decay, place.
pub(super) const fn tom(pitch: f64, decay: f64, place: f64) -> Patch {
    Patch {
        level: 0.56,
        place,
        room: 0.8,
        damp: 0.09,
        layers: layers([
            Ring(
                Modes::of(&MEMBRANE, pitch, 1.25 * decay, 1_500.0, 0.3)
                    .damped(0.8)
                    .glides(0.12, 0.05),
            ),
            // What the stick moves besides dies away within a tenth of a second.
            Ring(
                Modes::of(&MEMBRANE, pitch, 0.3 * decay, 4_500.0, 0.28)
                    .damped(0.5)
                    .glides(0.12, 0.05),
            ),
            // As much as makes low toms as bright at first as high ones.
            Noise(Hiss::of((700.0, 6_500.0), 0.0004, 0.05, 0.12 + 20.0 / pitch)),
        ]),
    }
}

/// A small drum struck by the hand or a stick: pitch, decay, slap of the hand, place.
pub(super) const fn hand_drum(pitch: f64, decay: f64, slap: f64, place: f64) -> Patch {
    Patch {
        level: 0.5,
        place,
        room: 0.8,
        damp: 0.06,
        layers: layers([
            Ring(Modes::of(&MEMBRANE, pitch, decay, 4_500.0, 0.5).damped(0.8).glides(0.04, 0.03)),
            Noise(Hiss::of((600.0, 5_500.0), 0.0004, 0.035, slap)),
        ]),
    }
}

/// A timbale: a metal shell with one head: pitch, place.
pub(super) const fn timbale(pitch: f64, place: f64) -> Patch {
    Patch {
        level: 0.5,
        place,
        room: 1.0,
        damp: 0.08,
        layers: layers([
            Ring(Modes::of(&MEMBRANE, pitch, 0.8, 4_500.0, 0.42).damped(0.6).glides(0.03, 0.03)),
            Metal(Plate::of(65, (900.0, 7_000.0), 24, 0.6, 0.14)),
            Noise(Hiss::of((900.0, 6_500.0), 0.0004, 0.04, 0.12)),
        ]),
    }
}

/// What is one or few modes and a touch: modes, pitch, decay, reach, touch of the stick, place.
pub(super) const fn bar(
    modes: &'static [Mode],
    pitch: f64,
    decay: f64,
    reach: f64,
    touch: f64,
    place: f64,
) -> Patch {
    Patch {
        level: 0.42,
        place,
        room: 0.8,
        damp: 0.05,
        layers: layers([
            Ring(Modes::of(modes, pitch, decay, reach, 0.6)),
            Noise(Hiss::of((900.0, 7_000.0), 0.0003, 0.02, touch)),
        ]),
    }
}

/// A crash cymbal: which, size (1: sixteen inches), place.
pub(super) const fn crash(which: u64, size: f64, place: f64) -> Patch {
    Patch {
        level: 0.3,
        place,
        room: 0.4,
        damp: 0.16,
        layers: layers([
            Metal(
                Plate::of(which, (330.0 / size, 12_000.0), 160, 5.0 * size, 0.30)
                    .shaped(-0.15, 0.3, 9_500.0),
            ),
            Noise(Hiss::of((2_200.0, 9_000.0), 0.004, 2.2 * size, 0.22)),
            Noise(Hiss::of((6_000.0, 13_500.0), 0.012, 1.3 * size, 0.2)),
        ]),
    }
}

/// A ride cymbal struck with the tip: which, place.
pub(super) const fn ride(which: u64, place: f64) -> Patch {
    Patch {
        level: 0.245,
        place,
        room: 0.4,
        damp: 0.14,
        layers: layers([
            // The wash.
            Metal(Plate::of(which, (380.0, 13_000.0), 120, 4.2, 0.15).shaped(-0.2, 0.36, 13_000.0)),
            // The ping: where the tip strikes, the plate is stiff and rings short.
            Metal(
                Plate::of(which + 100, (2_800.0, 10_500.0), 24, 0.55, 0.3)
                    .shaped(0.0, 0.4, 14_000.0),
            ),
            Noise(Hiss::of((5_000.0, 14_000.0), 0.0004, 0.05, 0.3)),
            Noise(Hiss::of((4_000.0, 11_000.0), 0.02, 1.6, 0.035)),
        ]),
    }
}

/// A guiro or a scratch: strokes, seconds, band, place.
pub(super) const fn scraped(count: u16, seconds: f64, low: f64, high: f64, place: f64) -> Patch {
    Patch {
        level: 0.4,
        place,
        room: 0.7,
        damp: 0.03,
        layers: layers([Rattle(Grains::of(
            count,
            seconds,
            0.25,
            0.7,
            Hiss::of((low, high), 0.0006, 0.025, 0.5),
        ))]),
    }
}

/// What is shaken: grains, seconds, lower and upper end of the band, level.
pub(super) const fn shaken(count: u16, seconds: f64, low: f64, high: f64, level: f64) -> Patch {
    Patch {
        level,
        place: 0.25,
        room: 0.6,
        damp: 0.03,
        layers: layers([Rattle(Grains::of(
            count,
            seconds,
            1.0,
            0.35,
            Hiss::of((low, high), 0.002, 0.03, 0.22),
        ))]),
    }
}

/// A whistle that is blown for so many seconds.
pub(super) const fn whistle(hold: f64) -> Patch {
    Patch {
        level: 0.6,
        place: 0.1,
        room: 1.0,
        damp: 0.03,
        layers: layers([
            Held(Tone {
                pitch: (2_250.0, 2_280.0),
                hold,
                attack_release: (0.008, 0.06),
                trill: (0.025, 34.0),
                harmonics: (0.12, 0.05),
                level: 0.5,
            }),
            Noise(Hiss::of((1_800.0, 5_000.0), 0.006, 2.0 * hold, 0.05)),
        ]),
    }
}

/// A cuica: from which pitch to which, in how many seconds.
pub(super) const fn cuica(from: f64, to: f64, hold: f64) -> Patch {
    Patch {
        level: 0.8,
        place: -0.15,
        room: 0.8,
        damp: 0.05,
        layers: layers([Held(Tone {
            pitch: (from, to),
            hold,
            attack_release: (0.006, 0.09),
            trill: (0.02, 27.0),
            harmonics: (0.5, 0.35),
            level: 0.45,
        })]),
    }
}

/// A click to play with: pitch, level. It is dry and in the middle, and all its sound lies where a kit
/// leaves room, under what is shrill.
pub(super) const fn click(pitch: f64, level: f64) -> Patch {
    Patch {
        level,
        place: 0.0,
        room: 0.0,
        damp: 0.02,
        layers: layers([
            Ring(Modes::of(&BLOCK, pitch, 0.07, 4_500.0, 0.6).damped(0.6)),
            Noise(Hiss::of((1_200.0, 5_000.0), 0.0003, 0.012, 0.18)),
        ]),
    }
}
