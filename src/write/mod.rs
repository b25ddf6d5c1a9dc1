//! Writers: each a plain walk over the drawing.

pub mod html;
pub mod json;
mod number;
pub mod pdf;
pub mod png;
pub mod svg;
mod webfont;
