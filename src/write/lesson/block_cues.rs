//! What is played of each block, in beats, for pages that play it at any tempo.

use super::voices::{SampledVoices, SoundOnPage};
use crate::perform::StrokeKind;
use crate::practice::{Pass, Plan, Sound, StrokeOrigin};
use crate::write::cues::beat;
use crate::write::number::fraction;
use crate::write::strikes::strike;
use serde::Serialize;

/// Beats are told to so many parts: at 30 beats a minute 20 microseconds.
const PARTS: f64 = 1e5;

/// A click: its beat, its voice and its gain.
type ClickCue = (f64, usize, f64);
/// A stroke: its beat, how many seconds it comes before that, its voice, its hand, its gain, and the beat at
/// which it is damped.
type StrokeCue = (f64, f64, usize, usize, f64, Option<f64>);
/// A note that sounds: from when to when, and which.
type LightCue = (f64, f64, String);

/// A block that is played once.
#[derive(Debug, Serialize)]
pub(super) struct BlockCues {
    beats: f64,
    intro: Vec<ClickCue>,
    clicks: Vec<ClickCue>,
    strokes: Vec<StrokeCue>,
    lights: Vec<LightCue>,
}

/// Every pass of a plan as it is played once; the voices of its strokes are remembered among all.
pub(super) fn blocks(plan: &Plan, voices: &mut SampledVoices) -> Vec<BlockCues> {
    plan.passes.iter().map(|pass| BlockCues::of(pass, voices)).collect()
}

impl BlockCues {
    fn of(pass: &Pass, voices: &mut SampledVoices) -> Self {
        let alone = Plan { passes: vec![Pass { times: 1, ..pass.clone() }] };
        let times = alone.times();
        let (music, once) = times.first().map_or((0.0, 0.0), |times| (times.music, times.once));
        let beats = |seconds: f64| (seconds * pass.tempo() / 60.0 * PARTS).round() / PARTS;
        let mut cues = Self {
            beats: beats(once),
            intro: Vec::new(),
            clicks: Vec::new(),
            strokes: Vec::new(),
            lights: Vec::new(),
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
                Sound::Stroke { early, kind, end, silenced, origin, .. } => {
                    let until = match kind {
                        StrokeKind::Buzz => {
                            Some(silenced.map_or(end, |silenced| silenced.min(end)))
                        }
                        StrokeKind::Main | StrokeKind::Grace | StrokeKind::Roll => silenced,
                    };
                    // Strokes that stray may come before the first beat, where a loop has none.
                    let beat = at(event.seconds + early).max(0.0);
                    cues.strokes.push((beat, early, voice, side, gain, until.map(at)));
                    if matches!(kind, StrokeKind::Main | StrokeKind::Buzz) {
                        cues.lights.extend(note_id(pass, origin).map(|id| (beat, at(end), id)));
                    }
                }
            }
        }
        // Two drums of a note are one light.
        cues.lights.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.2.cmp(&b.2)));
        cues.lights.dedup();
        cues
    }
}

/// The note of a stroke as `noteId` in the script of lit notes has it: bar, beat and, of several, player.
fn note_id(pass: &Pass, origin: StrokeOrigin) -> Option<String> {
    let part = pass.block.parts().nth(origin.player)?;
    let id = format!("{} {}", origin.note.bar + 1, fraction(beat(part, origin)?));
    let several = !pass.block.others.is_empty();
    Some(match part.player.as_ref().filter(|_| several) {
        Some(player) => format!("{id} {}", player.name),
        None => id,
    })
}
