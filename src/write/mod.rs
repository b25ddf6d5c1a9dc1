//! Writers: each a plain walk over the drawing.

pub mod json;
mod number;
pub mod pdf;
pub mod svg;
mod webfont;
