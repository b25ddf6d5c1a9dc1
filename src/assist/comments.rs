//! Comments, which the tree leaves out.

use crate::source::{Source, Span};
use crate::syntax::comment_of_line;

/// The comment of the line a byte lies in, where it is no line of code.
pub fn comment_at(source: &Source, offset: usize) -> Option<Span> {
    let line = source.line_at(offset);
    let text = source.slice(line);
    if !text.contains("//") {
        return None;
    }
    comment_of_line(text).map(|span| span.moved(line.start()))
}
