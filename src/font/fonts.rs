//! All faces of a document.

use super::error::FontError;
use super::music::MusicFont;
use super::text::TextFonts;

/// The faces a document is set with.
#[derive(Debug)]
pub struct Fonts {
    /// The music font.
    pub music: MusicFont,
    /// The faces of words.
    pub text: TextFonts,
}

impl Fonts {
    /// The faces that are part of the program.
    ///
    /// # Errors
    /// Says what is wrong with a face that cannot be read.
    pub fn built_in() -> Result<Self, FontError> {
        Ok(Self { music: MusicFont::calfskin()?, text: TextFonts::built_in()? })
    }
}
