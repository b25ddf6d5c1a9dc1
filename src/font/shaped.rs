//! Words that were shaped before. A program that stays meets ever new ones, so that only those used lately
//! are kept.

use foldhash::quality::RandomState;
use std::borrow::Borrow;
use std::collections::HashSet;
use std::hash::{Hash, Hasher};

/// Glyphs of a generation: more than the different words of a long book come to, in five megabytes.
/// Common practice, no source.
const GENERATION: usize = 600_000;
/// Glyphs that take as much room as what a run takes besides its own: its words and its entry.
const RUN: usize = 16;

/// What is kept of words, which knows its own words.
pub(super) trait Shaped: Clone {
    /// The words.
    fn words(&self) -> &str;
    /// How many glyphs they have.
    fn glyphs(&self) -> usize;
}

/// Something that is found by its words.
struct ByWords<T>(T);

impl<T: Shaped> Borrow<str> for ByWords<T> {
    fn borrow(&self) -> &str {
        self.0.words()
    }
}

impl<T: Shaped> Hash for ByWords<T> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.0.words().hash(state);
    }
}

impl<T: Shaped> PartialEq for ByWords<T> {
    fn eq(&self, other: &Self) -> bool {
        self.0.words() == other.0.words()
    }
}

impl<T: Shaped> Eq for ByWords<T> {}

/// Shaped words of one style, in two generations: where the younger is full, it becomes the older, and what
/// was not used since the older was full is dropped.
pub(super) struct ShapedWords<T> {
    young: HashSet<ByWords<T>, RandomState>,
    old: HashSet<ByWords<T>, RandomState>,
    /// What the younger comes to, in glyphs.
    filled: usize,
}

impl<T> Default for ShapedWords<T> {
    fn default() -> Self {
        Self { young: HashSet::default(), old: HashSet::default(), filled: 0 }
    }
}

impl<T: Shaped> ShapedWords<T> {
    /// What is kept of words.
    pub(super) fn get(&mut self, text: &str) -> Option<T> {
        if let Some(ByWords(kept)) = self.young.get(text) {
            return Some(kept.clone());
        }
        let ByWords(kept) = self.old.take(text)?;
        Some(self.keep(kept))
    }

    /// Keeps something of words; what is kept of them already, where there is anything.
    pub(super) fn add(&mut self, new: T) -> T {
        match self.get(new.words()) {
            Some(kept) => kept,
            None => self.keep(new),
        }
    }

    fn keep(&mut self, new: T) -> T {
        let size = new.glyphs() + RUN;
        if self.filled + size > GENERATION {
            self.old = std::mem::take(&mut self.young);
            self.filled = 0;
        }
        self.filled += size;
        self.young.insert(ByWords(new.clone()));
        new
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    impl Shaped for Arc<str> {
        fn words(&self) -> &str {
            self
        }

        fn glyphs(&self) -> usize {
            0
        }
    }

    #[test]
    fn words_without_end_take_a_bounded_room_and_those_in_use_stay() {
        let mut words = ShapedWords::<Arc<str>>::default();
        let often = words.add(Arc::from("often"));
        for number in 0..GENERATION {
            let text = number.to_string();
            words.add(Arc::from(text));
            let kept = words.get("often");
            assert!(kept.is_some_and(|kept| Arc::ptr_eq(&kept, &often)), "after {number}");
            assert!(words.young.len() + words.old.len() <= 2 * GENERATION / RUN);
        }
        assert!(words.get("0").is_none());
        assert!(words.get(&(GENERATION - 1).to_string()).is_some());
    }
}
