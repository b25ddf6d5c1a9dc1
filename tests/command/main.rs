//! The command, run as a program.

#![allow(clippy::expect_used, reason = "a test stops at the first surprise")]

mod build;
mod others;
mod room;
