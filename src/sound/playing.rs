//! A stroke that sounds.

use super::blow::fall;
use super::room::Sound;
use std::sync::Arc;

/// A damped sound is over under this share of itself: -96 dB.
const OVER: f32 = 1.6e-5;

/// A stroke that sounds, or is about to.
#[derive(Clone, Debug)]
pub(super) struct Playing {
    sound: Arc<Sound>,
    /// The frame of its onset.
    start: u64,
    gain: f32,
    /// The frame at which it is damped, and its factor with each frame from there.
    until: u64,
    falls: f32,
    damped: f32,
}

impl Playing {
    /// A stroke from a frame on; it is damped at `until`, and falls by 60 dB in `damp` seconds.
    pub(super) fn new(
        sound: Arc<Sound>,
        start: u64,
        gain: f32,
        until: Option<u64>,
        damp: f64,
    ) -> Self {
        let until = until.unwrap_or(u64::MAX);
        Self { sound, start, gain, until, falls: fall(damp) as f32, damped: 1.0 }
    }

    /// Damps it at a frame, if it is not damped by then.
    pub(super) fn damp(&mut self, frame: u64, seconds: f64) {
        if frame < self.until {
            self.until = frame;
            self.falls = fall(seconds) as f32;
        }
    }

    /// Adds what falls in a block that starts at a frame. False once it is over.
    pub(super) fn add(&mut self, block: u64, left: &mut [f32], right: &mut [f32]) -> bool {
        let length = left.len() as u64;
        if self.start >= block + length {
            return true;
        }
        let (skip, from) = if self.start > block {
            ((self.start - block) as usize, 0)
        } else {
            (0, (block - self.start).min(self.sound.left.len() as u64) as usize)
        };
        let left_over = &self.sound.left[from..];
        let frames = left_over.len().min(left.len() - skip);
        let until = self.until.saturating_sub(block + skip as u64).min(frames as u64) as usize;
        let sides = [(&self.sound.left, left), (&self.sound.right, right)];
        let before = self.damped;
        for (sound, out) in sides {
            let (sound, out) = (&sound[from..from + frames], &mut out[skip..skip + frames]);
            for (out, sample) in out[..until].iter_mut().zip(&sound[..until]) {
                *out += sample * self.gain;
            }
            self.damped = before;
            for (out, sample) in out[until..].iter_mut().zip(&sound[until..]) {
                self.damped *= self.falls;
                *out += sample * (self.gain * self.damped);
            }
        }
        from + frames < self.sound.left.len() && self.damped > OVER
    }
}
