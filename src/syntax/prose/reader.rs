//! The events of a text of CommonMark, one after another, and what is known while they are read.

use super::text::ProseText;
use crate::source::{Diagnostics, Span};
use pulldown_cmark::{Event, Options, Parser};
use std::collections::BTreeMap;
use std::iter::Peekable;
use std::ops::Range;

/// An event, and the bytes of the text it is written in.
type PlacedEvent<'t> = (Event<'t>, Range<usize>);

/// Reads a text of CommonMark.
pub(super) struct ProseReader<'t, 'd> {
    pub(super) text: &'t ProseText,
    events: Peekable<Box<dyn Iterator<Item = PlacedEvent<'t>> + 't>>,
    pub(super) found: &'d mut Diagnostics,
    /// The byte of the source from which places are counted.
    pub(super) from: usize,
    /// Whether blocks of music can be referred to.
    pub(super) refers: bool,
    /// The footnotes referred to, by their labels, and where first.
    pub(super) notes: BTreeMap<String, (u32, Span)>,
    /// Whether it was told that blocks nest too deep.
    pub(super) told_deep: bool,
}

impl<'t, 'd> ProseReader<'t, 'd> {
    pub(super) fn new(text: &'t ProseText, refers: bool, found: &'d mut Diagnostics) -> Self {
        let options = Options::ENABLE_TABLES | Options::ENABLE_FOOTNOTES;
        let events = Parser::new_ext(text.as_str(), options).into_offset_iter();
        let events: Box<dyn Iterator<Item = PlacedEvent<'t>> + 't> = Box::new(events);
        Self {
            text,
            events: events.peekable(),
            found,
            from: text.start(),
            refers,
            notes: BTreeMap::new(),
            told_deep: false,
        }
    }

    pub(super) fn peek(&mut self) -> Option<&PlacedEvent<'t>> {
        self.events.peek()
    }

    pub(super) fn next(&mut self) -> Option<PlacedEvent<'t>> {
        self.events.next()
    }

    /// Passes over what is left of an element whose start was read.
    pub(super) fn skip_element(&mut self) {
        let mut open = 1_usize;
        while let Some((event, _)) = self.next() {
            match event {
                Event::Start(_) => open += 1,
                Event::End(_) => open -= 1,
                _ => {}
            }
            if open == 0 {
                return;
            }
        }
    }

    /// A place of the source, counted from where places in the block count.
    pub(super) fn place(&self, range: &Range<usize>) -> Span {
        let span = self.text.span(range);
        Span::new(span.start().saturating_sub(self.from), span.end().saturating_sub(self.from))
    }

    /// The number of a footnote that is referred to.
    pub(super) fn note(&mut self, label: &str, range: &Range<usize>) -> u32 {
        let next = u32::try_from(self.notes.len() + 1).unwrap_or(u32::MAX);
        let span = self.text.span(range);
        self.notes.entry(label.to_lowercase()).or_insert((next, span)).0
    }
}
