//! Writers: each a plain walk over what it reads, the drawing or the body without pages. [`format`] is
//! the table of them.

mod cue_places;
pub mod cues;
pub mod epub;
pub mod error;
pub mod format;
pub mod html;
pub mod json;
mod moment;
mod number;
pub mod pdf;
pub mod png;
pub mod svg;
mod webfont;

pub use error::WriteError;
pub use format::{Format, WriteOptions, Writer};
