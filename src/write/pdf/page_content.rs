//! What a page or a part of one comes to before it is known which glyphs the document has: its bytes, with
//! glyphs under their numbers in the font files, and what it shows.

use super::glyphs::GlyphNumber;
use crate::font::{Glyph, GlyphRun};
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// The content of a page, or of a part of one that stands on many.
#[derive(Clone, Debug, Default)]
pub(super) struct PageContent {
    pub(super) bytes: Vec<u8>,
    pub(super) numbers: Vec<GlyphNumber>,
    pub(super) shown: Shown,
}

/// The words and the signs a content shows.
#[derive(Clone, Debug, Default)]
pub(super) struct Shown {
    /// Runs by where they lie in memory: those that are alike are mostly one.
    runs: HashMap<usize, Arc<GlyphRun>>,
    pub(super) signs: BTreeSet<Glyph>,
}

impl Shown {
    /// Adds a run.
    pub(super) fn add_run(&mut self, run: &Arc<GlyphRun>) {
        self.runs.entry(Arc::as_ptr(run) as usize).or_insert_with(|| run.clone());
    }

    /// Adds all that another content shows.
    pub(super) fn add(&mut self, other: &Self) {
        other.runs.values().for_each(|run| self.add_run(run));
        self.signs.extend(&other.signs);
    }

    /// The runs, in no order.
    pub(super) fn runs(&self) -> impl Iterator<Item = &Arc<GlyphRun>> {
        self.runs.values()
    }
}
