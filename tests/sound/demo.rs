//! The demo as a lesson would play it: how loud it is, and how high it goes.

use crate::heard::{SECOND, strike};
use ebur128::{EbuR128, Mode};
use flamacue::practice::{Plan, Wanted};
use flamacue::sound::{Kit, Mixer, Strike};
use flamacue::source::{Diagnostics, Source};
use flamacue::write::mixer;

/// What streams for headphones are brought to, in LUFS, and how far from it is not heard. AES TD1008 (2021)
/// names -16 for what is mostly not speech.
const WANTED: f64 = -16.0;
const NEAR: f64 = 1.0;
/// The highest true peak, in decibels of full scale: what EBU R 128 (2020) allows.
const HIGHEST: f64 = -1.0;

/// The integrated loudness in LUFS of all a mixer has (ITU-R BS.1770), and the true peak in decibels.
fn measured<I: Iterator<Item = Strike>>(mut mixer: Mixer<'_, I>) -> (f64, f64) {
    let mut meter = EbuR128::new(2, 48_000, Mode::I | Mode::TRUE_PEAK).unwrap();
    let (mut left, mut right) = ([0.0_f32; 4_096], [0.0_f32; 4_096]);
    loop {
        let frames = mixer.next_block(&mut left, &mut right);
        if frames == 0 {
            break;
        }
        meter.add_frames_planar_f32(&[&left[..frames], &right[..frames]]).unwrap();
    }
    let peak = (0..2).map(|side| meter.true_peak(side).unwrap()).fold(0.0, f64::max);
    (meter.loudness_global().unwrap(), 20.0 * peak.log10())
}

/// A plan of a text, as it is heard where no option is given.
fn plan(text: &str) -> Plan {
    let source = Source::new("demo.flam", text);
    let mut faults = Diagnostics::default();
    let score = flamacue::read(&source, &mut faults).unwrap();
    Plan::of(&score, &Wanted::default()).unwrap()
}

#[test]
fn the_demo_is_as_loud_as_what_is_streamed() {
    let plan = plan(include_str!("../../demo/over-the-bakery.flam"));
    let (loudness, peak) = measured(mixer(&plan, &mut Kit::own()));
    assert!((loudness - WANTED).abs() < NEAR, "{loudness:.2} LUFS, {peak:.2} dB");
    assert!(peak < HIGHEST, "{peak:.2} dB");
}

/// Eight instruments together, eight times a second, as hard as they are struck at all.
#[test]
fn eight_instruments_at_their_hardest_stay_under_a_decibel_below_full_scale() {
    let keys = [36, 38, 42, 46, 49, 57, 41, 56];
    let strikes = (0..16).flat_map(|n| keys.map(|key| strike(n * SECOND / 8, key, 1.0)));
    let (_, peak) = measured(Mixer::new(&mut Kit::own(), strikes, 3 * SECOND));
    assert!(peak < HIGHEST, "{peak:.2} dB");
    assert!(peak > -4.0, "{peak:.2} dB");
}
