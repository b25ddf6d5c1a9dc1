//! Times, lengths, peaks, chokes.

use crate::heard::{Heard, SECOND, SILENT, strike, struck};
use flamacue::sound::{ClickKind, Kit, Side, Strike, Technique};

#[test]
fn it_has_exactly_the_length_asked_for() {
    for length in [0, 1, 191, 192, 193, 255, 256, 257, 10_001] {
        assert_eq!(Heard::of(&[strike(0, 38, 0.9)], length).frames(), length);
        assert_eq!(Heard::of(&[], length).frames(), length);
    }
}

#[test]
fn an_onset_falls_on_its_frame() {
    for frame in [0, 1, 255, 256, 1_000, 12_345] {
        for key in [36, 38, 42, 51, 76] {
            let heard = Heard::of(&[strike(frame, key, 0.8)], frame + 9_600);
            // Sounds start at zero; within a millisecond they are there.
            let onset = heard.onset(1e-3).unwrap();
            assert!((frame..frame + 48).contains(&onset), "key {key}: {onset} for {frame}");
        }
    }
}

#[test]
fn the_same_strikes_are_the_same_samples_whatever_the_blocks() {
    let strikes: Vec<Strike> =
        (0..40).map(|n| strike(n * 3_001, [36, 42, 38, 46, 49][n as usize % 5], 0.7)).collect();
    let length = 3 * SECOND;
    let first = Heard::of(&strikes, length);
    let mut kit = Kit::own();
    for block in [1, 77, 4_096, 100_000] {
        // The kit keeps what it has made; that changes nothing.
        assert!(first == Heard::from(&mut kit, &strikes, length, block), "blocks of {block}");
    }
}

#[test]
fn samples_do_not_change() {
    let strikes = [strike(0, 36, 0.9), strike(4_800, 42, 0.6), strike(9_600, 38, 0.8)];
    let heard = Heard::of(&strikes, SECOND / 2);
    let whole = |side: &[f32]| {
        side.iter()
            .map(|sample| (f64::from(*sample) * 8_388_608.0).round() as i64)
            .fold(0xCBF2_9CE4_8422_2325_u64, |sum, sample| {
                (sum ^ sample.cast_unsigned()).wrapping_mul(0x0100_0000_01B3)
            })
    };
    // Of the bytes of a WAV file of 24 bits: the same on every machine.
    assert_eq!(
        (whole(&heard.left), whole(&heard.right)),
        (0x0605_0FEC_ABF7_DE0C, 0xAECF_2ECB_8BEA_1F12)
    );
}

#[test]
fn silence_is_silent() {
    assert_eq!(Heard::of(&[], SECOND).peak(0..SECOND), 0.0);
    let heard = Heard::of(&[strike(SECOND, 38, 1.0)], 4 * SECOND);
    assert_eq!(heard.peak(0..SECOND), 0.0);
    assert!(heard.peak(3 * SECOND..4 * SECOND) < SILENT);
    let heard = Heard::of(&[strike(0, 38, 0.0), strike(10, 38, f64::NAN)], SECOND);
    assert_eq!(heard.peak(0..SECOND), 0.0);
}

#[test]
fn a_choke_ends_what_rings_and_does_not_click() {
    for key in [46, 49, 51, 81] {
        let ringing = Heard::of(&[strike(0, key, 0.9)], 2 * SECOND);
        let choke = Strike { until: Some(SECOND / 2), ..strike(0, key, 0.9) };
        let choked = Heard::of(&[choke], 2 * SECOND);
        assert_eq!(ringing.left[..24_000], choked.left[..24_000], "key {key}");
        let after = SECOND / 2 + SECOND / 4;
        assert!(ringing.peak(after..2 * SECOND) > SILENT, "key {key}");
        assert!(choked.peak(after..2 * SECOND) < SILENT, "key {key}");
        // It falls, and no frame is louder than the ringing one.
        let softer = choked.left.iter().zip(&ringing.left);
        assert!(softer.clone().all(|(choked, ringing)| choked.abs() <= ringing.abs() + 1e-6));
        let at = SECOND / 2..SECOND / 2 + 480;
        let (before, now) = (ringing.level(at.clone()), choked.level(at));
        assert!(now > before / 4.0, "key {key}: it dies away and is not cut");
    }
}

#[test]
fn what_rings_at_the_end_fades() {
    let heard = Heard::of(&[strike(0, 49, 1.0)], SECOND / 2);
    assert_eq!(heard.peak(SECOND / 2 - 1..SECOND / 2), 0.0);
    assert!(
        heard.peak(SECOND / 2 - 48..SECOND / 2) < heard.peak(SECOND / 2 - 960..SECOND / 2) / 4.0
    );
}

#[test]
fn a_press_roll_is_even_and_as_long_as_it_is_told() {
    let frames = SECOND;
    let roll = struck(0, 38, Technique::Buzz { frames }, 0.7);
    let heard = Heard::of(&[roll], 2 * SECOND);
    // No twentieth of a second stands out or falls off.
    let levels: Vec<f64> = (2..19).map(|n| heard.level(n * 2_400..(n + 1) * 2_400)).collect();
    let most = levels.iter().copied().fold(0.0, f64::max);
    let least = levels.iter().copied().fold(1.0, f64::min);
    assert!(most / least < 2.0, "{levels:?}");
    assert!(heard.level(SECOND + 24_000..SECOND + 26_400) < least / 30.0);
    // A stroke of this loudness is not far from it.
    let single = Heard::of(&[strike(0, 38, 0.7)], SECOND).level(0..2_400);
    assert!(most < single * 1.5 && most > single / 4.0, "{most} beside {single}");
}

#[test]
fn repeated_strokes_and_hands_differ_a_little() {
    let mut strikes: Vec<Strike> = (0..6).map(|n| strike(n * SECOND, 38, 0.7)).collect();
    for (strike, hand) in strikes[2..].iter_mut().zip([Side::Right, Side::Left].into_iter().cycle())
    {
        strike.hand = hand;
    }
    let heard = Heard::of(&strikes, 6 * SECOND);
    let stroke = |n: u64| &heard.left[(n * SECOND) as usize..(n * SECOND + SECOND / 2) as usize];
    for (a, b) in (0..5).map(|n| (n, n + 1)) {
        assert!(stroke(a) != stroke(b), "stroke {a}");
        let level = |n: u64| heard.level(n * SECOND..n * SECOND + SECOND / 5);
        let ratio = level(a) / level(b);
        assert!((0.75..1.33).contains(&ratio), "stroke {a}: {ratio}");
    }
}

#[test]
fn clicks_are_short_and_in_the_middle() {
    for kind in [ClickKind::Accent, ClickKind::Beat, ClickKind::Subdivision] {
        let heard = Heard::of(&[struck(0, 0, Technique::Click(kind), 0.8)], SECOND);
        assert_eq!(heard.left, heard.right);
        assert!(heard.peak(0..SECOND / 50) > 0.05);
        assert!(heard.peak(SECOND / 5..SECOND) < SILENT, "{kind:?}");
    }
}

#[test]
fn very_many_strokes_at_once_do_no_harm() {
    let strikes = (0..60_000).map(|n| strike(n / 1_000, 36 + (n % 8) as u8, 1.0));
    let strikes: Vec<Strike> = strikes.collect();
    let heard = Heard::of(&strikes, SECOND / 10);
    assert!(heard.peak(0..SECOND / 10) < 0.891);
}

#[test]
fn what_no_key_has_sounds_and_times_out_of_order_do_no_harm() {
    let strikes = [
        strike(9_600, 255, 0.8),
        strike(0, 0, 5.0),
        Strike { until: Some(0), ..strike(12_000, 49, 0.8) },
        struck(u64::MAX, 38, Technique::Buzz { frames: u64::MAX }, 1.0),
    ];
    let heard = Heard::of(&strikes, SECOND);
    assert!(heard.peak(9_600..9_700) > 0.01);
    assert!(heard.left.iter().chain(&heard.right).all(|sample| sample.abs() < 0.891));
}
