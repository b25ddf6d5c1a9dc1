//! The score: what a file means.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::unwrap_used)]

mod check;
mod facts;
mod mends;
mod properties;
mod told;

use told::{found, read};
