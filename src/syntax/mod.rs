//! Text to tree, and tree back to text.
//!
//! `grammar/flamacue.pest` is the one definition of the syntax. Its entries match every text and
//! name what makes no sense, so that all faults of a file are reported in one run; brackets are
//! paired and bounded here, without recursion.

pub mod address;
mod cells;
pub mod codes;
mod count;
mod flush;
mod format;
mod gather;
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
pub mod values;
mod words;

pub use format::format;
pub use gather::gather;
pub use grammar::Piece;

use crate::source::{Diagnostics, FileId, Source, Span};
use tree::Document;

/// Reads a whole file, with the files it includes in their places. Every fault found goes to
/// `diagnostics`; what could be read is returned all the same, so that later stages can report
/// theirs in the same run.
pub fn parse(source: &Source, diagnostics: &mut Diagnostics) -> Document {
    let main = one(source, FileId::MAIN, diagnostics);
    gather::join(source, main, diagnostics)
}

/// Reads one file.
fn one(source: &Source, file: FileId, diagnostics: &mut Diagnostics) -> Document {
    let span = source.span_of(file);
    if span.end - span.start > limits::FILE_BYTES {
        diagnostics
            .error(
                Span::new(span.start, span.start),
                "this file is larger than 4 megabytes and was not read",
            )
            .code(codes::FILE_TOO_LARGE)
            .mend("break it into several files");
        return Document::default();
    }
    let lines = lines::split(source, file, diagnostics);
    let mut document = outline::Outline::new(&lines, diagnostics).read();
    document.trivia = lines::trivia(&lines);
    document
}
