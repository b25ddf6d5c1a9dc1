//! Bars compared by what they mean, wherever they are written.

use super::block::{Again, Bar, Closing, Hit, Sticking};
use crate::source::Span;

/// Takes the repeat sign from bars for which it cannot stand: a sign for several bars stands for all
/// of them or for none, with plain barlines between them.
pub(super) fn keep_true_repeats(bars: &mut [Bar]) {
    let mut index = 0;
    while index < bars.len() {
        let count = bars[index].again.map_or(1, |again| usize::from(again.bars));
        let whole = bars.get(index..index + count).is_some_and(|group| {
            group.iter().enumerate().all(|(part, bar)| {
                let expected = Again { bars: count as u8, part: part as u8 };
                let open = part + 1 == count || bar.closing == Closing::Single;
                let back = (index + part).checked_sub(count).and_then(|back| bars.get(back));
                bar.again == Some(expected)
                    && open
                    && (part == 0 || !bar.repeat_start)
                    && back.is_some_and(|back| bar.repeats(back))
            })
        });
        if whole {
            index += count;
        } else {
            bars[index].again = None;
            index += 1;
        }
    }
}

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

    /// Whether a repeat sign can stand for this bar: it has the notes of the bar before, and no
    /// letters or words that the other has not.
    pub(super) fn repeats(&self, before: &Self) -> bool {
        let own = self.upper.hits.iter().chain(&self.lower.hits);
        let other = before.upper.hits.iter().chain(&before.lower.hits);
        let letters = |own: &[Sticking], other: &[Sticking]| {
            own.is_empty()
                || (own.len() == other.len()
                    && own
                        .iter()
                        .zip(other)
                        .all(|(a, b)| a.at == b.at && a.hand == b.hand && a.grace == b.grace))
        };
        let words = self.words.is_empty()
            || (self.words.len() == before.words.len()
                && self
                    .words
                    .iter()
                    .zip(&before.words)
                    .all(|(a, b)| a.at == b.at && a.text == b.text));
        self.meter == before.meter
            && self.length == before.length
            && self.upper.hits.len() == before.upper.hits.len()
            && self.upper.divisions == before.upper.divisions
            && self.lower.divisions == before.lower.divisions
            && self.lower.hits.len() == before.lower.hits.len()
            && own.zip(other).all(|(a, b)| Hit { span: b.span, ..a.clone() } == *b)
            && letters(&self.sticking, &before.sticking)
            && letters(&self.pedalling, &before.pedalling)
            && words
    }
}
