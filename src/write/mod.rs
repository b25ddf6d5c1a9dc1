//! Writers: each a plain walk over what it reads, the drawing, the body without pages or the score as it is
//! played. [`format`] is the table of them.

pub mod epub;
pub mod error;
pub mod format;
pub mod html;
pub mod json;
pub mod midi;
mod moment;
mod number;
pub mod pdf;
pub mod png;
pub mod svg;
mod webfont;

pub use error::WriteError;
pub use format::{Format, WriteOptions, Writer};
