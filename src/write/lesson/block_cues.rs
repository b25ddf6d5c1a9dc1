//! What is played of each block, in beats, for pages that play it at any tempo.

use super::voices::{SampledVoices, SoundOnPage};
use crate::film::Line;
use crate::perform::StrokeKind;
use crate::practice::{Pass, Plan, Sound};
use crate::write::motion::MotionDump;
use crate::write::strikes::strike;
use serde::Serialize;

/// Beats are told to so many parts: at 30 beats a minute 20 microseconds.
const PARTS: f64 = 1e5;

/// A click: its beat, its voice and its gain.
type ClickCue = (f64, usize, f64);
/// A stroke: its beat, how many seconds it comes before that, its voice, its hand, its gain, and the beat at
/// which it is damped.
type StrokeCue = (f64, f64, usize, usize, f64, Option<f64>);

/// A block that is played once.
#[derive(Debug, Serialize)]
pub(super) struct BlockCues {
    beats: f64,
    intro: Vec<ClickCue>,
    clicks: Vec<ClickCue>,
    strokes: Vec<StrokeCue>,
    motion: MotionDump,
}

/// Every pass of a plan as it is played once; the voices of its strokes are remembered among all. A function tells the
/// lines of the drawings of a block by its item.
pub(super) fn blocks(
    plan: &Plan,
    voices: &mut SampledVoices,
    lines: impl Fn(usize) -> Vec<Vec<Line>>,
) -> Vec<BlockCues> {
    plan.passes.iter().map(|pass| BlockCues::of(pass, voices, lines(pass.item))).collect()
}

impl BlockCues {
    fn of(pass: &Pass, voices: &mut SampledVoices, lines: Vec<Vec<Line>>) -> Self {
        let alone = Plan { passes: vec![Pass { times: 1, ..pass.clone() }], ..Plan::default() };
        let times = alone.times();
        let (music, once) = times.first().map_or((0.0, 0.0), |times| (times.music, times.once));
        let units = pass.tempo() / 60.0;
        let beats = |seconds: f64| (seconds * units * PARTS).round() / PARTS;
        // Each picture is a page of its own.
        let drawn = |lines: Vec<Line>| lines.into_iter().map(|line| (0, line)).collect();
        let drawings = lines.into_iter().map(drawn).collect();
        let mut cues = Self {
            beats: beats(once),
            intro: Vec::new(),
            clicks: Vec::new(),
            strokes: Vec::new(),
            motion: MotionDump::of(pass, drawings, units),
        };
        for event in alone.events() {
            let at = |seconds: f64| beats(seconds - music);
            let SoundOnPage { voice, side, gain } = voices.of(&strike(event));
            let gain = (gain * PARTS).round() / PARTS;
            match event.sound {
                Sound::Click(_) => {
                    let click = (at(event.seconds), voice, gain);
                    // What is counted in lies before the music.
                    let list = if click.0 < 0.0 { &mut cues.intro } else { &mut cues.clicks };
                    list.push(click);
                }
                Sound::Stroke { early, kind, end, silenced, .. } => {
                    let until = match kind {
                        StrokeKind::Buzz => {
                            Some(silenced.map_or(end, |silenced| silenced.min(end)))
                        }
                        StrokeKind::Main | StrokeKind::Grace | StrokeKind::Roll => silenced,
                    };
                    // Strokes that stray may come before the first beat, where a loop has none.
                    let beat = at(event.seconds + early).max(0.0);
                    let early = (early * PARTS).round() / PARTS;
                    cues.strokes.push((beat, early, voice, side, gain, until.map(at)));
                }
            }
        }
        cues
    }
}
