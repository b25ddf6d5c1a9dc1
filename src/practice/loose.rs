//! Strokes that stray a little from their time, the same way at every run.

use crate::perform::Loudness;

/// How much of its loudness a stroke may lose or gain when strokes stray by 30 ms, the most there is.
/// Common practice, no source.
const LOUDNESS: f64 = 0.15;
const MOST_SECONDS: f64 = 0.03;

/// A stroke among all that are heard.
#[derive(Clone, Copy, Debug)]
pub(super) struct StrokeNumber {
    pub(super) pass: usize,
    pub(super) time: u32,
    pub(super) player: usize,
    pub(super) stroke: usize,
}

impl StrokeNumber {
    /// Two numbers from -1 to 1, most of them near zero: each the middle of three even ones.
    fn chance(self) -> (f64, f64) {
        let parts = [self.pass as u64, self.time.into(), self.player as u64, self.stroke as u64];
        let mut state =
            parts.into_iter().fold(0x9e37_79b9_7f4a_7c15, |state, part| mixed(state ^ part));
        let mut next = || {
            state = mixed(state);
            (state >> 11) as f64 / (1u64 << 52) as f64 - 1.0
        };
        let mut middle = || (next() + next() + next()) / 3.0;
        (middle(), middle())
    }

    /// How many seconds a stroke strays, and how loud it is then, where strokes may stray by so many.
    pub(super) fn stray(self, looseness: f64, loudness: Loudness) -> (f64, Loudness) {
        if looseness <= 0.0 {
            return (0.0, loudness);
        }
        let (late, loud) = self.chance();
        let by = 1.0 + loud * LOUDNESS * looseness / MOST_SECONDS;
        (late * looseness, loudness.times(by))
    }
}

/// The finaliser of SplitMix64 (Steele, Lea, Flood, *Fast splittable pseudorandom number generators*, 2014,
/// from memory).
pub(super) fn mixed(state: u64) -> u64 {
    let state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let state = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let state = (state ^ (state >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    state ^ (state >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::dynamic::Level;

    #[test]
    fn strokes_stray_evenly_to_both_sides_and_no_further_than_asked() {
        let loudness = Loudness::of(Level::Mf);
        let strays: Vec<f64> = (0..1000)
            .map(|stroke| StrokeNumber { pass: 1, time: 0, player: 0, stroke })
            .map(|number| number.stray(0.008, loudness).0)
            .collect();
        assert!(strays.iter().all(|late| late.abs() <= 0.008));
        assert!((strays.iter().sum::<f64>() / 1000.0).abs() < 0.0005);
        assert!(
            strays.iter().any(|late| *late > 0.003) && strays.iter().any(|late| *late < -0.003)
        );
        let number = StrokeNumber { pass: 1, time: 0, player: 0, stroke: 7 };
        assert_eq!(number.stray(0.008, loudness), number.stray(0.008, loudness));
        assert_eq!(number.stray(0.0, loudness), (0.0, loudness));
    }
}
