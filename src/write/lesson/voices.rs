//! Single strokes as short sounds, for pages that play them.

use crate::sound::{FRAMES_PER_SECOND, Kit, Mixer, Side, Strike, Technique, Voice};
use crate::write::error::WriteError;
use crate::write::flac;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;

/// The loudnesses at which strokes are made. Each stroke has the timbre of the nearest and the level of its own.
const LAYERS: [f64; 4] = [0.25, 0.45, 0.65, 0.85];
/// Frames of the longest sound, 4 s, and of its end, in which it fades to nothing.
const LONGEST: usize = 4 * FRAMES_PER_SECOND as usize;
const FADE: usize = FRAMES_PER_SECOND as usize / 20;
/// Frames up to which each hand has a sound of its own: 0.8 s.
const BOTH_HANDS: usize = 4 * FRAMES_PER_SECOND as usize / 5;
/// What lies under this share of the loudest sample is left out at the end: -50 dB.
const OVER: f32 = 0.003;
/// The loudest sample of 16 bits.
const FULL_SCALE: f32 = 32_767.0;

/// A stroke in one of its loudnesses.
type LayeredVoice = (Voice, usize);

/// The strokes that are needed, each once.
#[derive(Debug, Default)]
pub(super) struct SampledVoices {
    known: Vec<LayeredVoice>,
    /// How often each was struck by a hand nobody named.
    struck: Vec<usize>,
}

/// How a strike sounds on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SoundOnPage {
    /// Its sound, by its index.
    pub(super) voice: usize,
    /// 0 for the right hand, 1 for the left one.
    pub(super) side: usize,
    /// What its samples are multiplied by.
    pub(super) gain: f64,
}

/// A sound as a page has it.
#[derive(Debug, Serialize)]
pub(super) struct VoiceDump {
    damp: f64,
    sounds: Vec<String>,
}

impl SampledVoices {
    /// How a strike sounds; its sound is remembered.
    pub(super) fn of(&mut self, strike: &Strike) -> SoundOnPage {
        let layer = nearest(strike.loudness);
        let wanted = (plain(strike.voice), layer);
        let voice = self.known.iter().position(|known| *known == wanted).unwrap_or_else(|| {
            self.known.push(wanted);
            self.struck.push(0);
            self.known.len() - 1
        });
        let side = match strike.hand {
            Side::Right => 0,
            Side::Left => 1,
            Side::Unknown => match self.struck.get_mut(voice) {
                Some(struck) => {
                    *struck += 1;
                    (*struck + 1) % 2
                }
                None => 0,
            },
        };
        // The mixer plays a stroke as loud as the square of its loudness.
        let loudness = strike.loudness / LAYERS[layer];
        SoundOnPage { voice, side, gain: loudness * loudness }
    }

    /// All that were asked for, as sounds.
    ///
    /// # Errors
    /// Where one can't be written.
    pub(super) fn dump(&self, kit: &mut Kit) -> Result<Vec<VoiceDump>, WriteError> {
        self.known.iter().map(|(voice, layer)| dump(kit, *voice, LAYERS[*layer])).collect()
    }
}

/// The layer that is nearest to a loudness.
fn nearest(loudness: f64) -> usize {
    let far = |layer: &usize| (LAYERS[*layer] - loudness).abs();
    (0..LAYERS.len()).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0)
}

/// A voice whose length is not its own: a page stops it when its time is over.
fn plain(voice: Voice) -> Voice {
    match voice.technique {
        Technique::Buzz { .. } => {
            Voice { technique: Technique::Buzz { frames: LONGEST as u64 }, ..voice }
        }
        Technique::Plain
        | Technique::HalfOpen
        | Technique::RimShot
        | Technique::Dead
        | Technique::Sweep
        | Technique::Click(_) => voice,
    }
}

fn dump(kit: &mut Kit, voice: Voice, loudness: f64) -> Result<VoiceDump, WriteError> {
    let mut sound =
        |hand: Side| sound(kit, Strike { frame: 0, voice, loudness, until: None, hand });
    let mut sounds = vec![sound(Side::Right)];
    let is_hand = !matches!(voice.technique, Technique::Click(_) | Technique::Buzz { .. });
    if is_hand && sounds.iter().all(|sound| sound.len() < 2 * BOTH_HANDS) {
        sounds.push(sound(Side::Left));
    }
    let encoded = sounds.iter().map(|sound| Ok(STANDARD.encode(flac::sound_in_memory(sound)?)));
    let sounds = encoded.collect::<Result<_, WriteError>>()?;
    Ok(VoiceDump { damp: Kit::damp(voice), sounds })
}

/// A strike alone: left and right in turn, up to where hardly anything is left of it.
fn sound(kit: &mut Kit, strike: Strike) -> Vec<i16> {
    let mut mixer = Mixer::new(kit, [strike], LONGEST as u64);
    let (mut left, mut right) = (vec![0.0; LONGEST], vec![0.0; LONGEST]);
    mixer.next_block(&mut left, &mut right);
    let level = |(left, right): (&f32, &f32)| left.abs().max(right.abs());
    let loudest = left.iter().zip(&right).map(level).fold(0.0, f32::max);
    let heard = left.iter().zip(&right).map(level).rposition(|level| level > OVER * loudest);
    let frames = heard.map_or(1, |last| (last + 1 + FADE).min(LONGEST));
    let fade = |frame: usize| ((frames - frame) as f32 / FADE as f32).min(1.0);
    let sides = left.iter().zip(&right).take(frames).enumerate();
    let sample = |value: f32| (value * FULL_SCALE).round() as i16;
    sides.flat_map(|(at, (l, r))| [l, r].map(|side| sample(side * fade(at)))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strike(key: u8, loudness: f64, hand: Side) -> Strike {
        let voice = Voice { key, technique: Technique::Plain };
        Strike { frame: 9, voice, loudness, until: None, hand }
    }

    #[test]
    fn a_stroke_is_as_loud_as_it_is_asked_for() {
        let mut voices = SampledVoices::default();
        let snare = voices.of(&strike(38, 0.65, Side::Left));
        assert_eq!(snare, SoundOnPage { voice: 0, side: 1, gain: 1.0 });
        let accent = voices.of(&strike(38, 0.7, Side::Right));
        assert_eq!((accent.voice, accent.side), (0, 0));
        assert!((accent.gain - 0.49 / 0.4225).abs() < 1e-12);
        assert_eq!(voices.of(&strike(38, 0.2, Side::Right)).voice, 1);
        // Hands nobody names take turns.
        let sides = [0; 4].map(|_| voices.of(&strike(36, 0.65, Side::Unknown)).side);
        assert_eq!(sides, [0, 1, 0, 1]);
        let dumps = voices.dump(&mut Kit::own()).unwrap();
        assert_eq!(dumps.iter().map(|dump| dump.sounds.len()).collect::<Vec<_>>(), [2, 2, 2]);
    }

    #[test]
    fn a_sound_is_that_of_the_mixer_and_ends_in_silence() {
        let asked = strike(38, 0.65, Side::Right);
        let made = sound(&mut Kit::own(), Strike { frame: 0, ..asked });
        let (mut left, mut right) = ([0.0; 4_000], [0.0; 4_000]);
        let mut kit = Kit::own();
        let mut mixer = Mixer::new(&mut kit, [Strike { frame: 0, ..asked }], 48_000);
        mixer.next_block(&mut left, &mut right);
        for (frame, (left, right)) in made.chunks(2).zip(left.iter().zip(right)) {
            assert!((f32::from(frame[0]) / FULL_SCALE - left).abs() < 1e-4);
            assert!((f32::from(frame[1]) / FULL_SCALE - right).abs() < 1e-4);
        }
        assert!(made.len() > 2 * FADE && made.len() < 2 * LONGEST);
        assert!(made[made.len() - 4..].iter().all(|sample| sample.abs() < 10));
    }
}
