//! Plays strokes of a SoundFont.

use super::room::Sound;
use super::sound_font::SoundFontError;
use super::strike::Voice;

#[derive(Clone, Debug)]
pub(super) struct FontPlayer;

impl FontPlayer {
    pub(super) fn new(_: &[u8]) -> Result<Self, SoundFontError> {
        Err(SoundFontError("a SoundFont can't be played yet".to_owned()))
    }

    pub(super) fn sound(&mut self, _: Voice, _: f64) -> Sound {
        Sound::default()
    }
}
