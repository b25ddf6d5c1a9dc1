//! The parser of drum-text, made of `flamacue.pest`, which is the one definition of the syntax.

// Each entry and token says in the grammar what it is.
#![allow(missing_docs)]

/// The parser. Its entries match every text, and take time and memory by the length of it.
#[derive(Clone, Copy, Debug, pest_derive::Parser)]
#[grammar = "flamacue.pest"]
pub struct Grammar;
