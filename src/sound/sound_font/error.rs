//! Why a SoundFont can't be played.

/// Why a SoundFont can't be played, in a sentence for a person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SoundFontError(pub String);

impl SoundFontError {
    pub(super) fn new(why: &str) -> Self {
        Self(why.to_owned())
    }
}

impl std::fmt::Display for SoundFontError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for SoundFontError {}
