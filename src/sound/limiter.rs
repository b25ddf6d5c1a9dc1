//! Keeps the sum of all sounds under a ceiling, gently: it sees what comes, and turns down before it is
//! there.

use std::collections::VecDeque;

/// No sample is larger: -1.4 dB of full scale, so that what a speaker makes between two samples stays
/// under -1 dB too (EBU R 128).
pub(super) const CEILING: f32 = 0.85;
/// From here on peaks are turned down, the more the higher they are: -4 dB of full scale.
const KNEE: f32 = 0.6;
/// Frames that it sees ahead and takes to turn down: 4 ms.
pub(super) const AHEAD: usize = 192;
/// Of what it has turned down, it gives back this share with each frame: two thirds in 80 ms.
const BACK: f64 = 1.0 / 3_840.0;
/// Gains are summed in whole numbers, so that no error gathers in an hour.
const ONE: f64 = 4_294_967_296.0;

/// A limiter with two channels.
#[derive(Debug)]
pub(super) struct Limiter {
    /// What came in and has not gone out, and the gains of as many frames, each at its frame's remainder.
    waiting: Vec<(f32, f32)>,
    gains: Vec<u64>,
    /// The sum of these gains.
    sum: u64,
    /// The least gains under 1 of the frames ahead: places and gains, growing.
    least: VecDeque<(u64, f64)>,
    held: f64,
    frame: u64,
}

impl Limiter {
    pub(super) fn new() -> Self {
        Self {
            waiting: vec![(0.0, 0.0); AHEAD],
            gains: vec![whole(1.0); AHEAD],
            sum: whole(1.0) * AHEAD as u64,
            least: VecDeque::new(),
            held: 1.0,
            frame: 0,
        }
    }

    /// Takes a frame and gives the one that came [`AHEAD`] frames before.
    pub(super) fn run(&mut self, left: f32, right: f32) -> (f32, f32) {
        let least = self.least(f64::from(gain(left.abs().max(right.abs()))));
        self.held = if least < self.held { least } else { self.held + (least - self.held) * BACK };
        // The mean of the last gains reaches each least gain just when its frame goes out.
        let now = whole(self.held);
        let place = (self.frame % AHEAD as u64) as usize;
        self.frame += 1;
        self.sum = self.sum + now - std::mem::replace(&mut self.gains[place], now);
        let gain = ((self.sum as f64) / (ONE * AHEAD as f64)) as f32;
        let (left, right) = std::mem::replace(&mut self.waiting[place], (left, right));
        ((left * gain).clamp(-CEILING, CEILING), (right * gain).clamp(-CEILING, CEILING))
    }

    /// The least gain of the frames ahead, with that of one more.
    fn least(&mut self, wanted: f64) -> f64 {
        if wanted < 1.0 {
            while self.least.back().is_some_and(|(_, gain)| *gain >= wanted) {
                self.least.pop_back();
            }
            self.least.push_back((self.frame, wanted));
        }
        if self.least.front().is_some_and(|(at, _)| at + (AHEAD as u64) < self.frame) {
            self.least.pop_front();
        }
        self.least.front().map_or(1.0, |(_, gain)| *gain)
    }
}

fn whole(gain: f64) -> u64 {
    (gain * ONE) as u64
}

/// The gain by which a peak comes under the ceiling: 1 under the knee; over it, the ceiling is never
/// reached.
fn gain(peak: f32) -> f32 {
    if peak <= KNEE {
        return 1.0;
    }
    let over = (peak - KNEE) / (CEILING - KNEE);
    (KNEE + (CEILING - KNEE) * over / (1.0 + over)) / peak
}
