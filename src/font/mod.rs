//! Music and text faces: outlines, metrics and shaping.

mod anchor;
mod cff;
mod characters;
mod composite;
mod error;
mod face;
mod face_style;
mod fonts;
pub mod glyph;
mod joined;
mod lately;
mod metadata;
pub mod missing;
pub mod music;
mod outline;
pub mod profile;
mod readings;
mod ready;
mod run;
mod run_glyphs;
mod shaped;
mod subroutines;
pub mod text;

pub use anchor::Anchor;
pub use error::FontError;
pub use face_style::{FaceId, FaceStyle};
pub use fonts::Fonts;
pub use glyph::Glyph;
pub use music::{Defaults, MusicFont, SPACES_PER_EM};
pub use run::GlyphRun;
pub use run_glyphs::ShapedGlyph;
pub use text::TextFonts;
