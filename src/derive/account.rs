//! How what is made came about.

use super::text::Plain;
use crate::score::Span;

/// What became of a block that is made, or of letters that are.
#[derive(Clone, Debug)]
pub(crate) struct Account {
    /// From its head to the end of its last line.
    pub(crate) span: Span,
    /// How it came about, a line each.
    pub(crate) steps: Vec<String>,
    /// The blocks that stand in its place when it is written out; nothing where it stays, but for the edits.
    pub(crate) blocks: Option<Vec<Plain>>,
    /// Stretches of the text, and their new text when it is written out.
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
