//! Where samples come from, and what is kept of them.

use super::render::render;
use super::room::Sound;
use super::sound_font::{Player, SoundFontError};
use super::strike::{Side, Technique, Voice};
use super::table;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Timbre changes with loudness in so many steps; level is exact.
const STEPS: u8 = 12;
/// How many strokes of one kind differ: hands have a half of them each.
pub(super) const VARIANTS: u64 = 4;
/// Frames that are kept at most: 64 MiB of samples. A sound that sounds right now may be kept over that,
/// so it is at most that and what one mixer plays.
const KEPT: usize = 8 * 1024 * 1024;

/// Where samples come from: the kit of our own or a SoundFont. It keeps strokes it has made, at most 64 MiB
/// of them; a clone shares what is kept so far. What is kept changes nothing of what is heard.
#[derive(Clone, Debug)]
pub struct Kit {
    source: Origin,
    kept: Kept,
}

#[derive(Clone, Debug)]
enum Origin {
    Own,
    SoundFont(Player),
}

impl Kit {
    /// The kit of our own: every sound is worked out, none is recorded.
    #[must_use]
    pub fn own() -> Self {
        Self { source: Origin::Own, kept: Kept::default() }
    }

    /// The drums of a SoundFont (bank 128, preset 0, or what it has nearest). Clicks stay those of our own.
    ///
    /// # Errors
    /// Where the bytes are no SoundFont of version 2 with drums, or more than
    /// [`MOST_SOUND_FONT_BYTES`](super::MOST_SOUND_FONT_BYTES).
    pub fn sound_font(bytes: &[u8]) -> Result<Self, SoundFontError> {
        Ok(Self { source: Origin::SoundFont(Player::new(bytes)?), kept: Kept::default() })
    }

    /// The sound of a stroke as loud as the hardest, and the seconds in which it falls once it is damped.
    pub(super) fn sound(&mut self, voice: Voice, loudness: f64, variant: u64) -> Arc<Sound> {
        let key = (plain(voice), step(loudness), variant);
        if let Some(sound) = self.kept.get(&key) {
            return sound;
        }
        let loudness = f64::from(key.1) / f64::from(STEPS);
        let sound = Arc::new(match &mut self.source {
            Origin::Own => render(key.0, loudness, variant),
            Origin::SoundFont(player) => match voice.technique {
                Technique::Click(_) => render(key.0, loudness, variant),
                Technique::Plain
                | Technique::HalfOpen
                | Technique::RimShot
                | Technique::Dead
                | Technique::Sweep
                | Technique::Buzz { .. } => player.sound(key.0, loudness),
            },
        });
        self.kept.add(key, &sound);
        sound
    }

    /// Seconds in which a sound falls by 60 dB once it is damped.
    #[must_use]
    pub fn damp(voice: Voice) -> f64 {
        table::patch(voice).damp
    }
}

/// The voice of the strokes that a voice is made of: each bounce of a press is a plain stroke, and what
/// makes no difference is left out.
fn plain(voice: Voice) -> Voice {
    let Voice { key, technique } = voice;
    match technique {
        Technique::Buzz { .. } => Voice { key, technique: Technique::Plain },
        Technique::Click(_) => Voice { key: 0, technique },
        Technique::Plain
        | Technique::HalfOpen
        | Technique::RimShot
        | Technique::Dead
        | Technique::Sweep => voice,
    }
}

fn step(loudness: f64) -> u8 {
    ((loudness.clamp(0.0, 1.0) * f64::from(STEPS) + 0.5) as u8).max(1)
}

/// The variants that a hand has.
pub(super) fn variants(hand: Side) -> std::ops::Range<u64> {
    match hand {
        Side::Right => 0..VARIANTS / 2,
        Side::Left => VARIANTS / 2..VARIANTS,
        Side::Unknown => 0..VARIANTS,
    }
}

/// A voice, a step of loudness and a variant.
type Key = (Voice, u8, u64);

/// Strokes that have been made, each with when it was last asked for.
#[derive(Clone, Debug, Default)]
struct Kept {
    sounds: BTreeMap<Key, (u64, Arc<Sound>)>,
    frames: usize,
    asked: u64,
}

impl Kept {
    fn get(&mut self, key: &Key) -> Option<Arc<Sound>> {
        self.asked += 1;
        let (last, sound) = self.sounds.get_mut(key)?;
        *last = self.asked;
        Some(Arc::clone(sound))
    }

    fn add(&mut self, key: Key, sound: &Arc<Sound>) {
        self.frames += sound.left.len();
        self.sounds.insert(key, (self.asked, Arc::clone(sound)));
        while self.frames > KEPT {
            let oldest = self.sounds.iter().min_by_key(|(_, (last, _))| *last);
            let Some(oldest) = oldest.map(|(key, _)| *key) else { break };
            if let Some((_, sound)) = self.sounds.remove(&oldest) {
                self.frames -= sound.left.len();
            }
        }
    }
}
