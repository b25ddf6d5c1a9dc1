//! Bars compared by what they mean, wherever they are written.

use super::block::Bar;
use crate::source::Span;

impl Bar {
    /// The same bar with every place in the source set to nought, so that two bars written in
    /// different ways are equal where they mean the same.
    #[must_use]
    pub fn without_spans(mut self) -> Self {
        let none = Span::default();
        self.span = none;
        let hits = self.upper.hits.iter_mut().chain(&mut self.lower.hits);
        hits.for_each(|hit| hit.span = none);
        self.sticking.iter_mut().chain(&mut self.pedalling).for_each(|s| s.span = none);
        self.words.iter_mut().for_each(|w| w.span = none);
        self.dynamics.iter_mut().for_each(|d| d.span = none);
        self.marks.iter_mut().for_each(|m| m.span = none);
        self
    }
}
