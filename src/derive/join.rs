//! Phrases one after another.

use super::phrase::{GridSpan, LimbNote, Phrase};

impl Phrase {
    /// Puts another behind this one. What is held past an end ends there.
    pub(crate) fn append(&mut self, other: &Self) {
        if other.bars.is_empty() {
            return;
        }
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
        self.attached.append(&other.attached, start);
        self.bars.extend(other.bars.iter().cloned());
        self.apart |= other.apart;
    }

    /// Its bars without the last `count`.
    pub(crate) fn without_last(&self, count: usize) -> Self {
        self.slice(0..self.bars.len().saturating_sub(count))
    }
}
