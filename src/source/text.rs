//! The text of a file and of those it includes, one after another.

use super::file::{File, Included};
use super::line_table::{LineTable, Lines};
use crate::score::Span;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A file of drum-text, and the files it includes.
#[derive(Clone, Debug)]
pub struct Source {
    /// All files, one after another.
    pub(super) text: String,
    pub(super) files: Vec<File>,
    /// What the file named at a byte came to.
    pub(super) included: BTreeMap<usize, Included>,
    pub(super) lines: Arc<LineTable>,
    /// The bytes of pictures by their paths, or why they can't be had.
    pub(super) pictures: BTreeMap<String, PictureFile>,
}

/// The bytes of a picture, or why they can't be had.
pub type PictureFile = Result<Arc<[u8]>, String>;

impl Source {
    /// Takes a text and the name it is reported under.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let lines = Arc::new(Lines::of(&text));
        Self::with_lines(name, text, lines)
    }

    /// The same of a text of which it is known where its lines start.
    pub(crate) fn with_lines(name: impl Into<String>, text: String, own: Arc<Lines>) -> Self {
        let mut lines = LineTable::default();
        lines.add(own, 0);
        let span = Span::new(0, text.len());
        let main = File { name: name.into(), span };
        let included = BTreeMap::new();
        let pictures = BTreeMap::new();
        Self { text, files: vec![main], included, lines: Arc::new(lines), pictures }
    }

    /// Where its lines start, to be kept by whoever has to say where a byte stands.
    #[must_use]
    pub fn lines(&self) -> Arc<LineTable> {
        self.lines.clone()
    }

    /// The text of a range; empty where the range does not lie in this source.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.range()).unwrap_or("")
    }
}
