//! What is known to tell how a sound is heard: how bright it is, how long it rings, how sharp its start is.

use crate::heard::{Heard, SECOND};
use std::f64::consts::{PI, TAU};

/// A power of two: 0.68 s.
const LONG: usize = 32_768;
/// The first 25 ms, and the power of two they fill.
const START: usize = 1_200;
const SHORT: usize = 2_048;
/// An onset lies where a sound first has this share of its peak.
const ONSET: f64 = 0.02;
/// Over this far down, in decibels, a sound is heard.
const HEARD: f64 = 40.0;

/// Measures of one stroke, both sides added up, from its onset.
#[derive(Clone, Copy, Debug)]
pub struct Measures {
    /// The mean frequency, each weighed by its power (spectral centroid), of the first 0.68 s, in hertz.
    pub centre: f64,
    /// The same of the first 25 ms, which fade out.
    pub attack: f64,
    /// Seconds until what is still to come has a ten thousandth (-40 dB) of all the power (Schroeder 1965).
    pub decay: f64,
    /// The peak over the root mean square until then, in decibels.
    pub crest: f64,
    /// The root mean square of the loudest 50 ms, in decibels of full scale.
    pub level: f64,
    /// The highest sample of the last half second, in decibels of full scale.
    pub rest: f64,
}

impl Measures {
    pub fn of(heard: &Heard) -> Self {
        let mono = heard.mono(0..heard.frames());
        let most = mono.iter().fold(0.0_f64, |most, sample| most.max(sample.abs()));
        let onset = mono.iter().position(|sample| sample.abs() > ONSET * most).unwrap();
        let mono = &mono[onset..];
        let start: Vec<f64> = mono[..START].iter().enumerate().map(|(n, x)| x * fade(n)).collect();
        let end = end(mono);
        let ends = heard.frames() - SECOND / 2..heard.frames();
        Self {
            centre: centre(&mono[..LONG.min(mono.len())], LONG),
            attack: centre(&start, SHORT),
            decay: end as f64 / SECOND as f64,
            crest: decibels(most / mean(&mono[..end])),
            level: decibels(loudest(mono)),
            rest: decibels(f64::from(heard.peak(ends))),
        }
    }
}

/// The second half of a Hann window.
fn fade(frame: usize) -> f64 {
    0.5 + 0.5 * (PI * frame as f64 / START as f64).cos()
}

pub fn decibels(ratio: f64) -> f64 {
    20.0 * ratio.max(1e-9).log10()
}

/// The root of the mean square.
fn mean(samples: &[f64]) -> f64 {
    (samples.iter().map(|sample| sample * sample).sum::<f64>() / samples.len() as f64).sqrt()
}

fn loudest(mono: &[f64]) -> f64 {
    let starts = (0..24_000.min(mono.len() - 2_400)).step_by(480);
    starts.map(|start| mean(&mono[start..start + 2_400])).fold(0.0, f64::max)
}

/// The frame after which hardly anything comes.
fn end(mono: &[f64]) -> usize {
    let all: f64 = mono.iter().map(|sample| sample * sample).sum();
    let mut left = all;
    let gone = mono.iter().position(|sample| {
        left -= sample * sample;
        left < all * 10.0_f64.powf(-HEARD / 10.0)
    });
    gone.unwrap_or(mono.len())
}

fn centre(samples: &[f64], length: usize) -> f64 {
    let mut padded: Vec<(f64, f64)> = samples.iter().map(|sample| (*sample, 0.0)).collect();
    padded.resize(length, (0.0, 0.0));
    let spectrum = transformed(&padded);
    let (mut power, mut weighed) = (0.0, 0.0);
    for (n, (re, im)) in spectrum[..=length / 2].iter().enumerate() {
        power += re * re + im * im;
        weighed += (re * re + im * im) * n as f64;
    }
    weighed / power * SECOND as f64 / length as f64
}

/// The discrete Fourier transform of as many values as a power of two (Cooley and Tukey 1965).
fn transformed(values: &[(f64, f64)]) -> Vec<(f64, f64)> {
    if values.len() == 1 {
        return values.to_vec();
    }
    let half = values.len() / 2;
    let every_other = |from: usize| -> Vec<(f64, f64)> {
        transformed(&values.iter().skip(from).step_by(2).copied().collect::<Vec<_>>())
    };
    let (even, odd) = (every_other(0), every_other(1));
    let mut all = even.clone();
    all.extend(&even);
    for (n, (re, im)) in odd.into_iter().enumerate() {
        let (sin, cos) = (-TAU * n as f64 / values.len() as f64).sin_cos();
        let (re, im) = (re * cos - im * sin, re * sin + im * cos);
        all[n] = (all[n].0 + re, all[n].1 + im);
        all[n + half] = (all[n + half].0 - re, all[n + half].1 - im);
    }
    all
}

#[test]
fn a_sine_is_measured_as_it_is() {
    let sine = |n: u64| (TAU * 1_000.0 * n as f64 / SECOND as f64).sin() as f32;
    let falls = |n: u64| 10.0_f32.powf(-3.0 * n as f32 / SECOND as f32);
    // It falls by 60 dB in a second, so by 40 dB in two thirds of one.
    let left: Vec<f32> = (0..4 * SECOND).map(|n| sine(n) * falls(n)).collect();
    let measures = Measures::of(&Heard { right: left.clone(), left });
    assert!((measures.centre - 1_000.0).abs() < 30.0, "{measures:?}");
    assert!((measures.decay - 2.0 / 3.0).abs() < 0.01, "{measures:?}");
    // Of a sine that falls so, the mean square of this time is 1 / (2 * 40 dB in nepers * 2).
    let mean = 1.0 / (2.0 * 2.0 * 2.0 * 10.0_f64.ln());
    assert!((measures.crest - decibels(1.0 / mean.sqrt())).abs() < 0.2, "{measures:?}");
}
