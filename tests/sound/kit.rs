//! What the kit of our own sounds like.

use crate::heard::{Heard, SECOND, SILENT, strike, struck};
use flamacue::sound::Technique;

#[test]
fn every_key_sounds_and_dies_away() {
    for key in 27..=87 {
        let heard = Heard::of(&[strike(480, key, 0.8)], 8 * SECOND);
        assert!(heard.peak(480..SECOND) > 0.03, "key {key}: {}", heard.peak(480..SECOND));
        assert!(heard.peak(480..SECOND) < 0.891, "key {key}");
        assert!(heard.peak(7 * SECOND + 24_000..8 * SECOND) < SILENT, "key {key}");
        // No offset: over a second, the mean is nothing.
        let mean = heard.left[..48_000].iter().sum::<f32>() / 48_000.0;
        assert!(mean.abs() < 1e-3, "key {key}: {mean}");
    }
}

#[test]
fn no_stroke_starts_with_a_step() {
    let first = |key| {
        let heard = Heard::of(&[strike(480, key, 1.0)], SECOND);
        heard.peak(0..481) / heard.peak(0..SECOND)
    };
    let far: Vec<_> =
        (27..=87).map(|key| (key, first(key))).filter(|(_, first)| *first > 0.15).collect();
    assert!(far.is_empty(), "{far:.2?}");
}

/// Every instrument of the drum set is brighter when struck harder, and not only louder.
#[test]
fn timbre_answers_to_loudness() {
    for key in
        [35, 36, 37, 38, 40, 41, 42, 43, 44, 45, 46, 47, 48, 49, 50, 51, 52, 53, 55, 56, 57, 59]
    {
        let centre =
            |loudness| Heard::of(&[strike(0, key, loudness)], SECOND).centre(0..SECOND / 5);
        let (soft, middle, hard) = (centre(0.2), centre(0.55), centre(0.95));
        assert!(soft * 1.02 < middle && middle * 1.01 < hard, "key {key}: {soft} {middle} {hard}");
        let level = |loudness| Heard::of(&[strike(0, key, loudness)], SECOND).level(0..SECOND / 5);
        assert!(level(0.2) * 4.0 < level(0.55), "key {key}");
    }
}

/// A ghost stroke beside a plain one of the snare drum.
#[test]
fn ghost_strokes_are_soft_and_dark() {
    let (plain, ghost) =
        [0.6, 0.24].map(|loudness| Heard::of(&[strike(0, 38, loudness)], SECOND)).into();
    let level = |heard: &Heard| heard.level(0..SECOND / 5);
    assert!(level(&ghost) < level(&plain) / 5.0);
    assert!(ghost.centre(0..SECOND / 5) < plain.centre(0..SECOND / 5) * 0.9);
}

#[test]
fn a_hi_hat_rings_the_longer_the_more_open_it_is() {
    let after = |technique, key| {
        let heard = Heard::of(&[struck(0, key, technique, 0.7)], SECOND);
        heard.level(SECOND / 4..SECOND / 2) / heard.level(0..SECOND / 50)
    };
    let closed = after(Technique::Plain, 42);
    let half = after(Technique::HalfOpen, 46);
    let open = after(Technique::Plain, 46);
    assert!(closed * 3.0 < half && half * 1.5 < open, "{closed} {half} {open}");
}

#[test]
fn techniques_of_the_snare_drum_differ() {
    let heard = |technique| Heard::of(&[struck(0, 38, technique, 0.8)], SECOND);
    let [plain, rim, dead, sweep] =
        [Technique::Plain, Technique::RimShot, Technique::Dead, Technique::Sweep].map(heard);
    let late = SECOND / 10..SECOND / 5;
    assert!(dead.level(late.clone()) < plain.level(late.clone()) / 4.0);
    assert!(rim.centre(0..SECOND / 10) > plain.centre(0..SECOND / 10) * 0.8);
    assert!(rim.peak(0..SECOND) > plain.peak(0..SECOND) * 0.9);
    // A brush has no attack: it is as loud later as at first.
    assert!(sweep.level(late) > sweep.level(0..SECOND / 50));
}

/// What tires: power over 8 kHz. No drum has more than a twentieth of its power there, no cymbal more than
/// three fifths.
#[test]
fn nothing_is_harsh() {
    // A filter of the first order, four times: what is left lies over 8 kHz, for the most part.
    let share = |key: u8| {
        let heard = Heard::of(&[strike(0, key, 0.7)], SECOND);
        let part = (-2.0 * std::f64::consts::PI * 8_000.0 / SECOND as f64).exp();
        let mut lows = [0.0; 2];
        let (mut all, mut high) = (0.0, 0.0);
        for sample in &heard.left {
            let mut value = f64::from(*sample);
            all += value * value;
            for low in &mut lows {
                *low = value + (*low - value) * part;
                value -= *low;
            }
            high += value * value;
        }
        high / all
    };
    for key in [35, 36, 38, 40, 41, 43, 45, 47, 48, 50] {
        assert!(share(key) < 0.05, "key {key}: {}", share(key));
    }
    for key in [42, 44, 46, 49, 51, 52, 53, 55, 57, 59] {
        assert!(share(key) < 0.6, "key {key}: {}", share(key));
    }
}

#[test]
fn instruments_stand_where_the_drummer_sees_them() {
    let balance = |key: u8| {
        let heard = Heard::of(&[strike(0, key, 0.8)], SECOND);
        let power =
            |side: &[f32]| side.iter().map(|sample| f64::from(sample * sample)).sum::<f64>();
        let (left, right) = (power(&heard.left), power(&heard.right));
        (right - left) / (right + left)
    };
    for key in [36, 38] {
        assert!(balance(key).abs() < 0.2, "key {key}: {}", balance(key));
    }
    for key in [42, 46, 49, 50] {
        assert!((-0.8..-0.2).contains(&balance(key)), "key {key}: {}", balance(key));
    }
    for key in [41, 43, 51, 57] {
        assert!((0.2..0.8).contains(&balance(key)), "key {key}: {}", balance(key));
    }
}
