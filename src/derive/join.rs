//! Phrases one after another.

use super::phrase::{GridSpan, LimbNote, Phrase};

impl Phrase {
    /// A phrase without bars.
    pub(crate) fn empty() -> Self {
        Self { bars: Vec::new(), notes: Vec::new(), spans: Vec::new(), apart: false, by_bar: false }
    }

    /// Puts another behind this one. What is held past an end ends there.
    pub(crate) fn append(&mut self, other: &Self) {
        self.by_bar |= other.by_bar || (!self.bars.is_empty() && self.apart != other.apart);
        let start = self.length();
        let end = start + other.length();
        self.notes.extend(other.notes.iter().map(|note| LimbNote {
            at: start + note.at,
            until: note.until.map(|until| (start + until).min(end)),
            ..note.clone()
        }));
        let moved = |span: &GridSpan| GridSpan { start: start + span.start, ..*span };
        self.spans.extend(other.spans.iter().map(moved));
        self.bars.extend(other.bars.iter().cloned());
        self.apart |= other.apart;
    }

    /// Its bars without the last `count`.
    pub(crate) fn without_last(&self, count: usize) -> Self {
        let bars = self.bars[..self.bars.len().saturating_sub(count)].to_vec();
        let mut phrase = Self { bars, ..Self::empty() };
        let end = phrase.length();
        phrase.notes = self.notes.iter().filter(|n| n.at < end).cloned().collect();
        for note in &mut phrase.notes {
            note.until = note.until.map(|until| until.min(end));
        }
        phrase.spans = self.spans.iter().filter(|s| s.start < end).copied().collect();
        phrase.apart = self.apart;
        phrase.by_bar = self.by_bar;
        phrase
    }
}
