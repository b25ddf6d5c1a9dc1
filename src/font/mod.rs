//! Music and text faces: outlines, metrics and shaping.

pub mod glyph;
pub mod missing;
pub mod music;
mod outline;
pub mod profile;
pub mod text;

pub use glyph::Glyph;
pub use music::{Anchor, Defaults, MusicFont, SPACES_PER_EM};
pub use text::{FaceId, FaceStyle, GlyphRun, ShapedGlyph, TextFonts};

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

/// A face that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FontError(pub String);

impl std::fmt::Display for FontError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for FontError {}
