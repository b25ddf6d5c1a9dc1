//! Compiles the Calfskin glyph sources into an OpenType font, its SMuFL metadata and a
//! specimen sheet.
//!
//! Each glyph is one SVG file (see [`source`]). The same sources give the same bytes: nothing
//! here reads the clock, the locale or the order of a directory.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod defaults;
mod error;
mod font;
pub mod metadata;
pub mod outline;
pub mod source;
mod specimen;

use std::path::Path;

pub use error::Error;
pub use source::{Glyph, UNITS_PER_EM, UNITS_PER_SPACE};

/// What one run of the builder produces.
pub struct Built {
    /// `Calfskin.ttf`, byte for byte.
    pub font: Vec<u8>,
    /// `calfskin_metadata.json`, as SMuFL 1.4 lays it out.
    pub metadata: String,
    /// `specimen.svg`: every glyph large, at reading size, and on a staff.
    pub specimen: String,
}

/// Compiles every `*.svg` file of `glyph_dir`.
///
/// # Errors
/// A source that cannot be read, names an anchor SMuFL does not know, shares a code point with
/// another, or holds a curve that TrueType splines cannot follow. The error names the file.
pub fn build(glyph_dir: &Path) -> Result<Built, Error> {
    let glyphs = source::read_folder(glyph_dir)?;
    let compiled = glyphs.iter().map(font::Compiled::new).collect::<Result<Vec<_>, Error>>()?;
    Ok(Built {
        font: font::write(&compiled)?,
        metadata: metadata::write(&compiled)?,
        specimen: specimen::write(&glyphs)?,
    })
}
