//! One file, without those it includes.

use super::tree::Document;
use super::{codes, limits, lines, outline};
use crate::source::{Diagnostics, FileId, Source, Span};

/// Reads one file.
pub fn read(source: &Source, file: FileId, diagnostics: &mut Diagnostics) -> Document {
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
    let mut document = outline::read(&lines, diagnostics);
    document.trivia = lines::trivia(&lines);
    document
}
