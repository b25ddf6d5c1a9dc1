//! What rows of all kinds have in common: bars and barlines.

use super::bars::{RawBar, RawRow};
use super::block::Again;
use crate::source::Span;
use crate::syntax::tree::BarSign;

/// What all kinds of rows have in common.
pub(super) struct Shape<'s> {
    pub(super) bars: usize,
    pub(super) has_lines: bool,
    pub(super) opens_next: Option<Span>,
    bar: Box<dyn Fn(usize) -> Option<BarShape> + 's>,
}

/// What the bars of all kinds of rows have in common.
#[derive(Clone, Copy, Debug)]
pub(super) struct BarShape {
    pub(super) empty: bool,
    pub(super) again: Option<Again>,
    pub(super) closing: Option<(BarSign, Span)>,
    pub(super) starts_repeat: bool,
    pub(super) span: Span,
}

impl Shape<'_> {
    pub(super) fn bar(&self, index: usize) -> Option<BarShape> {
        (self.bar)(index)
    }
}

/// The shape of a row.
pub(super) fn shape<'s, T>(raw: &'s RawRow<'_, T>) -> Shape<'s> {
    let bar = |raw: &RawBar<'_, T>| BarShape {
        empty: raw.groups.is_empty(),
        again: raw.same.map(|same| same.again),
        closing: raw.closing.as_ref().map(|c| (c.value, c.span)),
        starts_repeat: raw.starts_repeat.is_some(),
        span: raw.span,
    };
    Shape {
        bars: raw.bars.len(),
        has_lines: raw.has_lines,
        opens_next: raw.opens_next,
        bar: Box::new(move |index| raw.bars.get(index).map(bar)),
    }
}
