//! The text of a file and of those it includes, one after another.

use super::file::{File, Included};
use crate::score::Span;
use std::collections::BTreeMap;

/// A file of drum-text, and the files it includes.
#[derive(Clone, Debug)]
pub struct Source {
    /// All files, one after another.
    pub(super) text: String,
    pub(super) files: Vec<File>,
    /// What the file named at a byte came to.
    pub(super) included: BTreeMap<usize, Included>,
    pub(super) line_starts: Vec<usize>,
    /// Bytes that begin no character, so that columns of long lines need no counting.
    pub(super) inner_bytes: Vec<usize>,
}

impl Source {
    /// Takes a text and the name it is reported under.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let line_starts =
            std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        let inner_bytes = (0..text.len()).filter(|at| !text.is_char_boundary(*at)).collect();
        let span = Span::new(0, text.len());
        let main = File { name: name.into(), span, first_line: 0 };
        let included = BTreeMap::new();
        Self { text, files: vec![main], included, line_starts, inner_bytes }
    }

    /// The text of a range; empty where the range does not lie in this source.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.start..span.end).unwrap_or("")
    }
}
