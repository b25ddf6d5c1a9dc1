//! A block, played bar by bar in its order.

use super::loudness::Course;
use super::order::played;
use super::player::Player;
use super::tempo::Clock;
use super::timeline::Timeline;
use crate::score::{Bar, Block, Time};

impl Timeline {
    /// What is played of a block.
    #[must_use]
    pub fn of(block: &Block) -> Self {
        let course = Course::of(block);
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
            let (Some(bar), Some(written)) = (block.part.bars.get(index), starts.get(index)) else {
                continue;
            };
            let clock = clock.bar(bar);
            timeline.bar_seconds.push(clock.at(Time::ZERO));
            let mut player = Player {
                block,
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
        }
        timeline.strokes.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
        timeline
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
