//! A block, played bar by bar in its order.

use super::loudness::Course;
use super::order::played;
use super::pace::TempoStep;
use super::player::BarPlayer;
use super::silence;
use super::tempo::Clock;
use super::timeline::Timeline;
use crate::score::{Bar, Block, PlayerPart, Time};

/// Tempos nearer than this many seconds a whole note are one.
const SAME: f64 = 1e-9;

impl Timeline {
    /// What the first player of a block plays, or the only one.
    #[must_use]
    pub fn of(block: &Block) -> Self {
        Self::of_player(block, &block.part)
    }

    /// What each player of a block plays; all go through the same bars in the same time.
    pub fn each(block: &Block) -> impl Iterator<Item = Self> {
        block.parts().map(|part| Self::of_player(block, part))
    }

    /// What one player of a block plays.
    #[must_use]
    pub fn of_player(block: &Block, part: &PlayerPart) -> Self {
        let course = Course::of(part);
        let mut starts = Vec::with_capacity(block.part.bars.len());
        let mut at = Time::ZERO;
        for bar in &block.part.bars {
            starts.push(at);
            at += bar.length;
        }
        let tempo_known = block.settings.tempo.is_some();
        let mut timeline = Self { bars: played(&block.part.bars), tempo_known, ..Self::default() };
        let mut clock = Clock::new(block, &timeline.bars);
        let mut held = Vec::new();
        for number in 0..timeline.bars.len() {
            let Some(index) = timeline.bars.get(number).map(|played| played.bar) else { break };
            let (Some(lead), Some(bar), Some(written)) =
                (block.part.bars.get(index), part.bars.get(index), starts.get(index))
            else {
                continue;
            };
            let clock = clock.bar(lead);
            timeline.bar_seconds.push(clock.at(Time::ZERO));
            timeline.bar_times.push(timeline.length);
            add_steps(&mut timeline.tempo, clock.steps(timeline.length));
            let mut player = BarPlayer {
                part,
                bar,
                clock: &clock,
                course: &course,
                index,
                number,
                written: *written,
                start: timeline.length,
                beats: beats(bar),
            };
            player.play(&mut held, &mut timeline);
            timeline.length += bar.length;
            timeline.seconds = clock.at(bar.length);
            timeline.clocks.push(clock);
        }
        timeline.strokes.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
        silence::close_hats(&mut timeline.strokes, &part.kit);
        timeline
    }
}

/// Adds steps of tempo, but those that only go on.
fn add_steps(tempo: &mut Vec<TempoStep>, steps: impl Iterator<Item = TempoStep>) {
    for step in steps {
        let goes_on = |last: &TempoStep| (last.whole - step.whole).abs() < SAME;
        if !tempo.last().is_some_and(goes_on) {
            tempo.push(step);
        }
    }
}

/// The ends of the beats of a bar, from its start.
fn beats(bar: &Bar) -> Vec<Time> {
    let mut at = Time::ZERO - bar.offset;
    let end = |beat: Time| {
        at += beat;
        at
    };
    bar.meter.beats().into_iter().map(end).collect()
}
