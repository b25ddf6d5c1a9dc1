//! The syntax: trees, reports, hard input, and the formatter.

mod dump;
mod trees;
