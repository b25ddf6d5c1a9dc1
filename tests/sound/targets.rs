//! What each instrument measures: against recorded drums, and against the others of its kit.
//!
//!     cargo test --test sound probe -- --ignored --nocapture
//!
//! prints the measures of every key and technique, soft, medium and loud.

use crate::heard::{Heard, SECOND, struck};
use crate::measures::Measures;
use flamacue::sound::{ClickKind, Technique};

/// How loud a stroke of velocity 100 is.
const LOUDNESS: f64 = 100.0 / 127.0;
/// By which factor a centre and a decay may differ from those of the recorded drums, and a crest factor by
/// how many decibels: ours is rounded and limited, so that it may be loud and never harsh. Common practice,
/// no source.
const CENTRE: f64 = 1.8;
const DECAY: f64 = 2.2;
const CREST: std::ops::RangeInclusive<f64> = -10.5..=2.0;

/// A key, its name, and three measures: the centre in hertz, seconds to fall by 40 dB, the crest factor in
/// decibels.
type Recorded = (u8, &'static str, f64, f64, f64);

/// The drums of the SoundFont FluidR3 GM (Debian's `fluid-soundfont-gm` 3.1-5.3), played dry at velocity 100
/// by fluidsynth 2.3.1 (`-R 0 -C 0`) and measured as [`Measures`] are.
#[rustfmt::skip]
const RECORDED: [Recorded; 28] = [
    (35, "kick 2", 130.0, 0.22, 13.7),
    (36, "kick", 135.0, 0.21, 13.8),
    (37, "cross-stick", 3_415.0, 0.72, 24.2),
    (38, "snare", 627.0, 0.24, 17.5),
    (39, "clap", 2_474.0, 0.21, 18.1),
    (40, "snare 2", 996.0, 0.28, 20.3),
    (41, "low floor tom", 202.0, 0.92, 15.7),
    (42, "closed hi-hat", 10_342.0, 0.24, 16.8),
    (43, "high floor tom", 238.0, 0.63, 15.5),
    (44, "foot hi-hat", 9_478.0, 0.20, 17.0),
    (45, "low tom", 175.0, 1.03, 21.6),
    (46, "open hi-hat", 6_412.0, 2.26, 26.3),
    (47, "low-mid tom", 184.0, 0.82, 20.7),
    (48, "high-mid tom", 191.0, 0.77, 20.3),
    (49, "crash 1", 5_254.0, 4.28, 21.6),
    (50, "high tom", 200.0, 0.69, 20.0),
    (51, "ride", 7_174.0, 1.72, 25.4),
    (52, "china", 4_683.0, 2.39, 22.4),
    (53, "ride bell", 3_768.0, 2.71, 27.0),
    (54, "tambourine", 9_710.0, 0.27, 16.9),
    (55, "splash", 6_512.0, 1.44, 23.0),
    (56, "cowbell", 1_597.0, 0.21, 19.5),
    (57, "crash 2", 5_165.0, 3.17, 19.7),
    (59, "ride 2", 8_191.0, 1.90, 26.2),
    (75, "claves", 2_192.0, 0.07, 15.4),
    (76, "high wood block", 1_613.0, 0.18, 19.8),
    (77, "low wood block", 1_308.0, 0.24, 20.2),
    (81, "triangle", 10_661.0, 1.65, 25.6),
];

/// Where the recorded drums are no measure, ranges of centres in hertz and of decays in seconds: the font's
/// snare drum has hardly any wires, and its cross-stick a room. Common practice, no source.
const OTHER_CENTRES: [(u8, f64, f64); 1] = [(38, 900.0, 2_500.0)];
const OTHER_DECAYS: [(u8, f64, f64); 1] = [(37, 0.1, 0.4)];

/// How much louder than the snare drum each is that is struck as hard, in decibels from and to: so no part
/// covers another, and cymbals do not tire. Common practice, no source.
const BALANCE: [(u8, f64, f64); 20] = [
    (36, 0.0, 6.0),
    (37, -6.0, 0.0),
    (39, -5.0, 1.0),
    (41, -3.0, 4.0),
    (43, -3.0, 4.0),
    (45, -3.0, 4.0),
    (47, -3.0, 4.0),
    (48, -3.0, 4.0),
    (50, -3.0, 4.0),
    (42, -13.0, -7.0),
    (44, -15.0, -8.0),
    (46, -10.0, -4.0),
    (49, -7.0, -1.0),
    (57, -7.0, -1.0),
    (51, -11.0, -5.0),
    (53, -11.0, -5.0),
    (52, -8.0, -2.0),
    (55, -9.0, -3.0),
    (54, -6.0, 0.0),
    (56, -5.0, 1.0),
];

fn measured(key: u8, technique: Technique, loudness: f64) -> Measures {
    Measures::of(&Heard::of(&[struck(0, key, technique, loudness)], 8 * SECOND))
}

fn of(key: u8) -> Measures {
    measured(key, Technique::Plain, LOUDNESS)
}

#[test]
fn each_instrument_is_as_bright_and_rings_as_long_as_a_recorded_one() {
    let mut far = Vec::new();
    for (key, name, centre, decay, crest) in RECORDED {
        let own = of(key);
        let other = |others: &[(u8, f64, f64)], value: f64, by: f64| {
            let other = others.iter().find(|(of, _, _)| *of == key);
            other.map_or((value / by, value * by), |(_, low, high)| (*low, *high))
        };
        let (low, high) = other(&OTHER_CENTRES, centre, CENTRE);
        let (short, long) = other(&OTHER_DECAYS, decay, DECAY);
        let fits = (low..=high).contains(&own.centre)
            && (short..=long).contains(&own.decay)
            && CREST.contains(&(own.crest - crest))
            && own.rest < -90.0;
        if !fits {
            far.push(format!("{key} {name}: {own:.2?} for {centre} {decay} {crest}"));
        }
    }
    assert!(far.is_empty(), "{}", far.join("\n"));
}

#[test]
fn instruments_are_balanced_as_in_a_mix() {
    let snare = of(38).level;
    let levels = BALANCE.map(|(key, low, high)| (key, of(key).level - snare, low, high));
    let far: Vec<_> =
        levels.iter().filter(|(_, level, low, high)| !(low..=high).contains(&level)).collect();
    assert!(far.is_empty(), "{far:.1?}");
}

#[test]
#[ignore = "prints and asserts nothing"]
fn probe() {
    let tell = |name: String, key: u8, technique: Technique| {
        for loudness in [0.3, 0.55, 0.95] {
            let Measures { centre, attack, decay, crest, level, rest } =
                measured(key, technique, loudness);
            println!(
                "{name:12} {loudness:4.2}  centre {centre:6.0} Hz, at first {attack:6.0}  -40 dB in {decay:5.2} s  \
                 crest {crest:4.1} dB  level {level:6.1}  rest {rest:7.1}"
            );
        }
    };
    for key in 27..=87 {
        tell(key.to_string(), key, Technique::Plain);
    }
    tell("half open".into(), 46, Technique::HalfOpen);
    tell("rim shot".into(), 38, Technique::RimShot);
    tell("dead".into(), 38, Technique::Dead);
    tell("sweep".into(), 38, Technique::Sweep);
    tell("buzz".into(), 38, Technique::Buzz { frames: SECOND });
    for kind in [ClickKind::Accent, ClickKind::Beat, ClickKind::Subdivision] {
        tell(format!("{kind:?}"), 0, Technique::Click(kind));
    }
}
