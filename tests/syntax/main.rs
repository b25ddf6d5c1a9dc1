//! The syntax: trees, reports, hard input, and the formatter.

#![allow(clippy::unwrap_used)]

mod dump;
mod formatted;
mod formatter;
mod hard;
mod mends;
mod reports;

#[path = "../mended/mod.rs"]
mod mended;
