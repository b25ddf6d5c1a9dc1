//! Writers, over one small drawing built by hand.

mod fixture;
mod pdf;
mod svg;
