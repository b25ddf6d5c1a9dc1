//! The parser of drum-text, made of `flamacue.pest`, which is the one definition of the syntax.

// Each entry and token says in the grammar what it is.
#![allow(missing_docs)]

/// The parser. Every entry matches every text, but those of values, whose names end in `_value`.
#[derive(Clone, Copy, Debug, pest_derive::Parser)]
#[grammar = "flamacue.pest"]
pub struct Grammar;
