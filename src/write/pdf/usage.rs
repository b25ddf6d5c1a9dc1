//! What a drawing shows: which runs of words and which signs of music, and how often.

use crate::drawing::{Drawing, Mark, Node, Page, Shape};
use crate::font::{Glyph, GlyphRun};
use crate::parallel::map_in_order;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// Runs and signs, and how often each stands in a drawing.
#[derive(Default)]
pub(super) struct Usage<'a> {
    pub(super) runs: HashMap<RunKey, (&'a GlyphRun, usize)>,
    pub(super) signs: BTreeMap<Glyph, usize>,
}

/// A run among all of a drawing: where it lies in memory. Runs that are alike are mostly one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct RunKey(usize);

impl RunKey {
    pub(super) fn of(run: &Arc<GlyphRun>) -> Self {
        Self(Arc::as_ptr(run) as usize)
    }
}

impl<'a> Usage<'a> {
    /// What the pages of a drawing show.
    pub(super) fn of(drawing: &'a Drawing) -> Self {
        let mut whole = Self::default();
        for part in map_in_order(drawing.pages.iter().collect(), Self::of_page) {
            for (key, (run, count)) in part.runs {
                whole.runs.entry(key).or_insert((run, 0)).1 += count;
            }
            for (sign, count) in part.signs {
                *whole.signs.entry(sign).or_default() += count;
            }
        }
        whole
    }

    fn of_page(page: &'a Page) -> Self {
        let mut usage = Self::default();
        for_each_mark(&page.nodes, &mut |mark| match &mark.shape {
            Shape::Text { run, .. } => {
                usage.runs.entry(RunKey::of(run)).or_insert((run.as_ref(), 0)).1 += 1;
            }
            Shape::Glyph { glyph, .. } => *usage.signs.entry(*glyph).or_default() += 1,
            Shape::Box(_) | Shape::Path(_) => {}
        });
        usage
    }
}

fn for_each_mark<'a>(nodes: &'a [Node], visit: &mut impl FnMut(&'a Mark)) {
    for node in nodes {
        match node {
            Node::Group(group) => for_each_mark(&group.children, visit),
            Node::Mark(mark) => visit(mark),
            Node::Inset(inset) => for_each_mark(&inset.nodes, visit),
        }
    }
}
