//! Writers, over one small drawing built by hand.

#![allow(clippy::expect_used, reason = "a test stops at the first surprise")]

mod fixture;
mod json;
mod pdf;
mod svg;
