//! How what is made came about.

use crate::score::Span;

/// What became of a block that is made, or of letters that are.
#[derive(Clone, Debug)]
pub(crate) struct Account {
    /// From its head to the end of its last line.
    pub(crate) span: Span,
    /// How it came about, a line each.
    pub(crate) steps: Vec<String>,
    /// What stands in its place when it is written out: a stretch of the text, and its new text.
    pub(crate) edits: Vec<(Span, String)>,
}

impl Account {
    /// The same of a block that starts at a byte, with its places counted from the source's start.
    pub(super) fn moved(mut self, at: usize) -> Self {
        self.span = self.span.moved(at);
        self.edits.iter_mut().for_each(|(span, _)| *span = span.moved(at));
        self
    }
}
