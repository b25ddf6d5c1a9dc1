//! Music and text faces: outlines, metrics and shaping.

mod anchor;
mod cff;
mod composite;
mod error;
mod face;
mod fonts;
pub mod glyph;
mod glyphs;
mod joined;
mod metadata;
pub mod missing;
pub mod music;
mod outline;
pub mod profile;
mod readings;
mod run;
mod shaped;
mod subroutines;
pub mod text;

pub use anchor::Anchor;
pub use error::FontError;
pub use fonts::Fonts;
pub use glyph::Glyph;
pub use glyphs::ShapedGlyph;
pub use music::{Defaults, MusicFont, SPACES_PER_EM};
pub use run::{FaceId, FaceStyle, GlyphRun};
pub use text::TextFonts;
