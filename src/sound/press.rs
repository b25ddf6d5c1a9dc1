//! A press roll: hands in turn press their sticks into the head, and each bounces a few times, faster and
//! softer. Presses overlap, so that no single stroke is heard.

use super::random::Random;
use super::strike::FRAMES_PER_SECOND;

/// Seconds from one hand's press to the other's. Common practice, no source.
const HANDS: f64 = 0.092;
/// Seconds from the press to its first bounce, and by which share each next one comes sooner.
const FIRST: f64 = 0.031;
const SOONER: f64 = 0.87;
/// How much softer each bounce is than the one before.
const SOFTER: f64 = 0.9;
/// How loud the press is, of the loudness asked for: many overlapping strokes add up.
const LOUDNESS: f64 = 0.66;
/// Strokes of one press.
const BOUNCES: u8 = 7;
/// By which shares times and loudness stray.
const TIMES_STRAY: f64 = 0.05;
const LOUDNESS_STRAYS: f64 = 0.06;

/// A press roll on its way.
#[derive(Clone, Debug)]
pub(super) struct Press {
    pub(super) next: u64,
    end: u64,
    loudness: f64,
    random: Random,
}

impl Press {
    pub(super) fn new(frame: u64, length: u64, loudness: f64) -> Self {
        let end = frame.saturating_add(length);
        Self { next: frame, end, loudness: loudness * LOUDNESS, random: Random::new(frame) }
    }

    /// The strokes of the next press: their frames and their loudness; nothing once the roll is over.
    pub(super) fn strokes(&mut self) -> Option<Vec<(u64, f64)>> {
        if self.next >= self.end {
            return None;
        }
        let (mut after, mut gap, mut loudness) = (0.0, FIRST, self.loudness);
        let mut strokes = Vec::with_capacity(usize::from(BOUNCES));
        for _ in 0..BOUNCES {
            let frame = self.next + (after * f64::from(FRAMES_PER_SECOND)) as u64;
            if frame < self.end {
                strokes.push((frame, loudness * self.random.about(LOUDNESS_STRAYS)));
            }
            after += gap * self.random.about(TIMES_STRAY);
            gap *= SOONER;
            loudness *= SOFTER;
        }
        let hands = HANDS * self.random.about(TIMES_STRAY);
        self.next += (hands * f64::from(FRAMES_PER_SECOND)) as u64;
        Some(strokes)
    }
}
