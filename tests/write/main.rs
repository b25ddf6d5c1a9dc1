//! Writers, over one small drawing built by hand.

mod fixture;
mod json;
mod pdf;
mod svg;
