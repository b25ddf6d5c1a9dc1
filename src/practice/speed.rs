//! How fast a step is played.

use crate::score::Block;
use crate::score::practice::PracticeSpeed;
use crate::score::settings::Tempo;

/// What `slow` leaves of a tempo that is no range. Common practice, no source.
const SLOW: f64 = 2.0 / 3.0;
/// Quarters a minute where a block says no tempo, as the timeline has them.
const UNSAID: f64 = 120.0;
/// Slowest and fastest, in beats a minute.
const LEAST: f64 = 10.0;
const MOST: f64 = 400.0;

/// Beats a minute a block is written in, counted as it says.
pub(super) fn written(block: &Block) -> f64 {
    block.settings.tempo.as_ref().map_or(UNSAID, |tempo| tempo.per_minute)
}

/// How many times as fast as written a block is played, tempo by tempo of a step.
pub(super) fn factors(block: &Block, speed: PracticeSpeed) -> Vec<f64> {
    let own = block.settings.tempo.as_ref();
    let written = written(block);
    let at = |per_minute: f64| per_minute.clamp(LEAST, MOST) / written;
    match speed {
        PracticeSpeed::Written => vec![1.0],
        PracticeSpeed::Slow => match own.and_then(|tempo| tempo.up_to) {
            Some(_) => vec![1.0],
            None => vec![at(written * SLOW)],
        },
        PracticeSpeed::Goal => vec![goal(block, own).map_or(1.0, at)],
        PracticeSpeed::At(per_minute) => vec![at(per_minute)],
        PracticeSpeed::Climb { from, to, by } => {
            PracticeSpeed::climb(from, to, by).into_iter().map(at).collect()
        }
    }
}

/// The tempo to be reached, in beats of the written tempo.
fn goal(block: &Block, own: Option<&Tempo>) -> Option<f64> {
    let unit = own.map(|tempo| tempo.unit);
    let in_beats = |goal: &Tempo| match unit {
        Some(unit) if unit.numerator() > 0 => goal.per_minute * goal.unit.as_f64() / unit.as_f64(),
        Some(_) | None => goal.per_minute,
    };
    let goal = block.settings.goal.as_ref().map(in_beats);
    goal.or(own.and_then(|tempo| tempo.up_to))
}
