//! How a block is practised: what is heard in which order, how fast, and what the click does.

use std::sync::Arc;

/// How a block is heard as practice goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// What is heard, in order; at least one step.
    pub steps: Arc<[PracticeStep]>,
    /// What clicks under it.
    pub click: Click,
    /// Bars of clicks before each step, 0 to 4.
    pub count_in: u32,
    /// How far strokes may stray from their time, in seconds, 0 to 0.03.
    pub looseness: f64,
}

impl Default for Practice {
    fn default() -> Self {
        let once = PracticeStep::default();
        Self {
            steps: Arc::from([once]),
            click: Click::default(),
            count_in: COUNT_IN,
            looseness: 0.0,
        }
    }
}

/// Bars of clicks before a step where nothing is said. Common practice, no source.
const COUNT_IN: u32 = 1;

/// A part of practice.
#[derive(Clone, Debug, PartialEq)]
pub struct PracticeStep {
    /// What is heard.
    pub heard: Heard,
    /// How fast.
    pub speed: PracticeSpeed,
    /// Who is silent in it.
    pub without: Vec<Silent>,
    /// How often, 1 to 99; at each tempo where it climbs.
    pub times: u32,
}

impl Default for PracticeStep {
    fn default() -> Self {
        let (heard, speed) = (Heard::Alone, PracticeSpeed::Written);
        Self { heard, speed, without: Vec::new(), times: 1 }
    }
}

/// What is heard in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heard {
    /// The block by itself.
    Alone,
    /// The first context that plays it; the block by itself where there is none.
    InContext,
    /// Nothing but the click, for as long as the block takes: room to try it.
    Silence,
}

/// How fast a step is played.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PracticeSpeed {
    /// As it is written.
    Written,
    /// At the lower end of its range of tempo, else slower by a third.
    Slow,
    /// At its goal, else at the upper end of its range of tempo, else as it is written.
    Goal,
    /// At so many of its beats a minute, 10 to 400.
    At(f64),
    /// Again and again, from one number of beats a minute to another by steps, all from 10 to 400.
    Climb {
        /// The first.
        from: f64,
        /// The last; faster or slower.
        to: f64,
        /// What lies between two, over zero.
        by: f64,
    },
}

/// Who is silent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Silent {
    /// What hands play.
    Hands,
    /// What feet play.
    Feet,
    /// A player.
    Player(String),
}

/// What clicks under the music.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Click {
    /// When it clicks.
    pub on: ClickOn,
    /// Of so many bars it is silent in the last ones: how many, and of how many; fewer than all.
    pub silent: Option<(u32, u32)>,
}

/// When the click clicks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum ClickOn {
    /// Never.
    #[default]
    Never,
    /// On the first of each bar.
    Bars,
    /// On each beat, the first of a bar louder.
    Beats,
    /// On some beats of each bar, from 1.
    Some(Arc<[u32]>),
    /// On each beat, and softly on so many parts of it: 2, 3 or 4.
    Parts(u32),
}

impl PracticeSpeed {
    /// The tempos of a climb, slowest or fastest first, the last one with it; at most 400.
    #[must_use]
    pub fn climb(from: f64, to: f64, by: f64) -> Vec<f64> {
        let step = if by > 0.0 { by } else { (to - from).abs().max(1.0) };
        let count = ((to - from).abs() / step).ceil().min(MOST_CLIMBED) as u32;
        let way = if to < from { -step } else { step };
        let mut tempos: Vec<f64> = (0..count).map(|n| from + way * f64::from(n)).collect();
        tempos.push(to);
        tempos
    }
}

/// Most steps of a climb: a tempo is from 10 to 400, and steps are of one at least.
const MOST_CLIMBED: f64 = 399.0;

#[cfg(test)]
mod tests {
    use super::PracticeSpeed;

    #[test]
    fn a_climb_ends_at_its_last_tempo() {
        assert_eq!(PracticeSpeed::climb(60.0, 100.0, 20.0), [60.0, 80.0, 100.0]);
        assert_eq!(PracticeSpeed::climb(60.0, 90.0, 20.0), [60.0, 80.0, 90.0]);
        assert_eq!(PracticeSpeed::climb(90.0, 60.0, 15.0), [90.0, 75.0, 60.0]);
        assert_eq!(PracticeSpeed::climb(90.0, 90.0, 15.0), [90.0]);
    }
}
