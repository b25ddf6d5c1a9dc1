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
        let alone = Plan { passes: vec![Pass { times: 1, ..pass.clone() }], ..Plan::default() };
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
        let mut lights = Vec::new();
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
                    let early = (early * PARTS).round() / PARTS;
                    cues.strokes.push((beat, early, voice, side, gain, until.map(at)));
                    if matches!(kind, StrokeKind::Main | StrokeKind::Buzz) {
                        lights.extend(
                            note_id(pass, origin).map(|id| Light {
                                player: origin.player,
                                cue: (beat, at(end), id),
                            }),
                        );
                    }
                }
            }
        }
        cues.lights = one_by_one(lights);
        cues
    }
}

/// A note that sounds, with its player by index.
struct Light {
    player: usize,
    cue: LightCue,
}

/// Lights by time, each once. Of each player one note is lit after the other: it goes out when the next one sounds,
/// though it may be held under that by another hand or foot.
fn one_by_one(mut lights: Vec<Light>) -> Vec<LightCue> {
    let order = |a: &Light, b: &Light| {
        a.player
            .cmp(&b.player)
            .then(a.cue.0.total_cmp(&b.cue.0))
            .then_with(|| a.cue.2.cmp(&b.cue.2))
    };
    lights.sort_by(order);
    let mut next: Option<(usize, f64, f64)> = None;
    for light in lights.iter_mut().rev() {
        let (begin, end, _) = &mut light.cue;
        // What begins at the same time ends before the same one.
        let until = match next {
            Some((player, at, _)) if player == light.player && at > *begin => at,
            Some((player, _, after)) if player == light.player => after,
            Some(_) | None => f64::INFINITY,
        };
        *end = end.min(until);
        next = Some((light.player, *begin, until));
    }
    let mut cues: Vec<LightCue> = lights.into_iter().map(|light| light.cue).collect();
    // Two drums of a note are one light.
    cues.dedup();
    cues.sort_by(|a, b| a.0.total_cmp(&b.0));
    cues
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_note_of_a_player_is_lit_after_the_other() {
        let light = |player: usize, begin: f64, end: f64, id: &str| Light {
            player,
            cue: (begin, end, id.to_owned()),
        };
        // A kick is held under two strokes of a hand; at its onset a hand strikes too.
        let lights = vec![
            light(0, 0.0, 2.0, "1 1"),
            light(0, 0.0, 0.5, "1 1"),
            light(1, 0.25, 3.0, "1 5/4 b"),
            light(0, 0.5, 0.75, "1 3/2"),
            light(0, 1.5, 2.0, "1 5/2"),
        ];
        let told: Vec<(f64, f64, String)> = one_by_one(lights);
        let told: Vec<(f64, f64, &str)> =
            told.iter().map(|(begin, end, id)| (*begin, *end, id.as_str())).collect();
        assert_eq!(
            told,
            [(0.0, 0.5, "1 1"), (0.25, 3.0, "1 5/4 b"), (0.5, 0.75, "1 3/2"), (1.5, 2.0, "1 5/2")]
        );
    }
}
