//! The score: what a file means.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::unwrap_used)]

mod check;
mod facts;
mod mends;
mod properties;
mod told;

#[path = "../mended/mod.rs"]
mod mended;

use told::{found, read};
