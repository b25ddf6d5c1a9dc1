//! What rows of all kinds have in common: bars and barlines.

use crate::interpret::bars::{RawBar, RawRow};
use crate::score::Again;
use crate::source::Span;
use crate::syntax::tree::BarSign;

/// What all kinds of rows have in common.
pub(crate) struct RowShape<'s> {
    pub(crate) bars: usize,
    pub(crate) has_lines: bool,
    pub(crate) opens_next: Option<Span>,
    bar: Box<dyn Fn(usize) -> Option<BarShape> + 's>,
}

/// What the bars of all kinds of rows have in common.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BarShape {
    pub(crate) empty: bool,
    pub(crate) again: Option<Again>,
    pub(crate) closing: Option<(BarSign, Span)>,
    pub(crate) starts_repeat: Option<Span>,
    pub(crate) span: Span,
}

impl RowShape<'_> {
    pub(crate) fn bar(&self, index: usize) -> Option<BarShape> {
        (self.bar)(index)
    }
}

/// The shape of a row.
pub(crate) fn shape<'s, T>(raw: &'s RawRow<'_, T>) -> RowShape<'s> {
    let bar = |raw: &RawBar<'_, T>| BarShape {
        empty: raw.groups.is_empty(),
        again: raw.same.map(|same| same.again),
        closing: raw.closing.as_ref().map(|c| (c.value, c.span)),
        starts_repeat: raw.starts_repeat,
        span: raw.span,
    };
    RowShape {
        bars: raw.bars.len(),
        has_lines: raw.has_lines,
        opens_next: raw.opens_next,
        bar: Box::new(move |index| raw.bars.get(index).map(bar)),
    }
}
