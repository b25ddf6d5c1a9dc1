//! SoundFonts of version 2 (SoundFont Technical Specification 2.04, Creative 2006; from memory): only what
//! its drums need is read, and every number of a file is held against bounds. A crate that plays them was
//! looked at (`rustysynth` 1.3.8): it indexes beyond its samples where a loop is shorter than a step,
//! takes memory a file only claims to fill, and works with the platform's powers, so that its samples are
//! not the same on every machine.

mod chunks;
mod error;
mod generators;
mod player;
mod region;
mod regions;

pub use error::SoundFontError;
pub(super) use player::Player;

/// No SoundFont has more bytes: 512 MiB.
pub const MOST_BYTES: usize = 512 * 1024 * 1024;
