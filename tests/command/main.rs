//! The command, run as a program.

#![allow(clippy::expect_used, reason = "a test stops at the first surprise")]

mod build;
mod clashes;
mod desk;
mod editions;
mod film;
mod heard;
#[cfg(unix)]
mod interrupted;
mod lesson;
mod lsp;
mod lsp_troubles;
mod others;
mod parts;
mod reading;
#[cfg(unix)]
mod rewriting;
mod room;
mod terminal;
#[cfg(unix)]
mod watch;
#[cfg(unix)]
mod watch_troubles;
mod web_book;
