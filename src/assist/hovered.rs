//! What is told of a place.

use super::words::{ROWS, about};
use crate::source::Span;

/// What stands at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hover {
    /// The word or cell it is about.
    pub span: Span,
    /// What it is: plain words, in which what is written in a text stands between backticks.
    pub text: String,
}

/// Whether a byte lies in a range, or at its end.
pub fn holds(span: Span, offset: usize) -> bool {
    span.touches(offset)
}

/// What a row that is not called after an instrument holds.
pub fn told_row(name: &str) -> Option<String> {
    let own = about(ROWS, name)?;
    Some(match name {
        "hands" | "feet" => format!("`{name}`: {}; {own}", about(ROWS, "play")?),
        _ => format!("`{name}`: {own}"),
    })
}
