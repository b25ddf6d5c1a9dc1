//! Text to tree, and tree back to text.

pub mod tree;

use crate::source::{Diagnostics, Source};
use tree::Document;

/// Reads a whole file. Every fault found goes to `diagnostics`; what could be read is returned
/// all the same, so that later stages can report theirs in the same run.
pub fn parse(_source: &Source, _diagnostics: &mut Diagnostics) -> Document {
    Document::default()
}

/// The same text with cells and syllables aligned in columns. Comments and blank lines stay;
/// the score does not change; formatting twice changes nothing more.
pub fn format(source: &Source, _document: &Document) -> String {
    source.text().to_owned()
}
