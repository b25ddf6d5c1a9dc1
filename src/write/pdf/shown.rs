//! The words and the signs that pages show.

use crate::drawing::{Mark, Node, Page, Shape};
use crate::font::{Glyph, GlyphRun};
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// What pages show, each once.
#[derive(Default)]
pub(super) struct Shown<'a> {
    /// Runs by where they lie in memory: those that are alike are mostly one.
    runs: HashMap<usize, &'a GlyphRun>,
    pub(super) signs: BTreeSet<Glyph>,
}

impl<'a> Shown<'a> {
    /// What a page shows.
    pub(super) fn of(page: &'a Page) -> Self {
        let mut shown = Self::default();
        shown.take(&page.nodes);
        shown
    }

    fn take(&mut self, nodes: &'a [Node]) {
        for node in nodes {
            match node {
                Node::Group(group) => self.take(&group.children),
                Node::Mark(mark) => self.take_mark(mark),
                Node::Inset(inset) => self.take(&inset.nodes),
            }
        }
    }

    fn take_mark(&mut self, mark: &'a Mark) {
        match &mark.shape {
            Shape::Text { run, .. } => {
                self.runs.insert(Arc::as_ptr(run) as usize, run);
            }
            Shape::Glyph { glyph, .. } => {
                self.signs.insert(*glyph);
            }
            Shape::Box(_) | Shape::Path(_) | Shape::Picture { .. } => {}
        }
    }

    /// Adds all that others show.
    pub(super) fn add(&mut self, other: &Self) {
        self.runs.extend(&other.runs);
        self.signs.extend(&other.signs);
    }

    /// The runs, in no order.
    pub(super) fn runs(&self) -> impl Iterator<Item = &'a GlyphRun> {
        self.runs.values().copied()
    }
}
