//! Writers: each a plain walk over what it reads, the drawing, the body without pages or the score as it is
//! played. [`format`] is the table of them. Those of sound, [`wav`] and [`flac`], read a mixer.

mod cue_places;
pub mod cues;
pub mod epub;
pub mod error;
pub mod film;
pub mod flac;
pub mod format;
pub mod html;
pub mod json;
pub mod lesson;
pub mod midi;
mod moment;
pub mod motion;
mod number;
pub mod pdf;
pub mod png;
mod samples;
pub mod script;
pub mod strikes;
pub mod svg;
pub mod wav;
mod webfont;

pub use error::WriteError;
pub use format::{Format, WriteOptions, Writer};
pub use strikes::{Strikes, mixer, strikes};
