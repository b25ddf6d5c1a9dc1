//! Text to tree, and tree back to text.
//!
//! `grammar/flamacue.pest` is the one definition of the syntax. Its entries match every text and
//! name what makes no sense, so that all faults of a file are reported in one run; brackets are
//! paired and bounded here, without recursion.

mod cells;
mod count;
mod flush;
mod format;
mod grammar;
mod head;
pub mod limits;
mod lines;
mod outline;
mod prose;
mod row;
mod rows;
mod splits;
mod sticks;
mod tables;
pub mod tree;
mod words;

pub use format::format;

use crate::source::{Diagnostics, Source, Span};
use tree::Document;

/// Reads a whole file. Every fault found goes to `diagnostics`; what could be read is returned
/// all the same, so that later stages can report theirs in the same run.
pub fn parse(source: &Source, diagnostics: &mut Diagnostics) -> Document {
    if source.text().len() > limits::FILE_BYTES {
        diagnostics
            .error(Span::new(0, 0), "this file is larger than 4 megabytes and was not read")
            .mend("break it into several files");
        return Document::default();
    }
    let lines = lines::split(source, diagnostics);
    let mut document = outline::Outline::new(&lines, diagnostics).read();
    document.trivia = lines::trivia(&lines);
    document
}
