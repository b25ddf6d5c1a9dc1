//! Writers: each a plain walk over the drawing.

pub mod json;
pub mod pdf;
pub mod svg;
