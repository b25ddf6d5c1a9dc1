//! The kit and the mixer, heard from outside: times, silence, peaks, loudness, and that nothing is left to
//! chance.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used)]

mod demo;
mod files;
mod font;
mod heard;
mod kit;
mod measures;
mod mixer;
mod targets;
