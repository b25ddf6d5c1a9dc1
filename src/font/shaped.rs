//! Words that were shaped before. A program that stays meets ever new ones, so that only those used lately
//! are kept.

use std::collections::HashMap;

/// Glyphs of a generation: more than the different words of a long book come to, in five megabytes.
/// Common practice, no source.
const GENERATION: usize = 600_000;
/// Glyphs that take as much room as what a run takes besides its own: its words, twice, and its entry.
const RUN: usize = 20;

/// What is kept of words, and how many glyphs it has.
type Kept<T> = HashMap<Box<str>, (T, usize)>;

/// Shaped words of one style, in two generations: where the younger is full, it becomes the older, and what
/// was not used since the older was full is dropped.
pub(super) struct ShapedWords<T> {
    young: Kept<T>,
    old: Kept<T>,
    /// What the younger comes to, in glyphs.
    filled: usize,
}

impl<T> Default for ShapedWords<T> {
    fn default() -> Self {
        Self { young: Kept::new(), old: Kept::new(), filled: 0 }
    }
}

impl<T: Clone> ShapedWords<T> {
    /// What is kept of words.
    pub(super) fn get(&mut self, text: &str) -> Option<T> {
        if let Some((kept, _)) = self.young.get(text) {
            return Some(kept.clone());
        }
        let (text, (kept, glyphs)) = self.old.remove_entry(text)?;
        Some(self.keep(text, kept, glyphs))
    }

    /// Keeps what has so many glyphs; what is kept of the words already, where there is anything.
    pub(super) fn add(&mut self, text: &str, new: T, glyphs: usize) -> T {
        match self.get(text) {
            Some(kept) => kept,
            None => self.keep(text.into(), new, glyphs),
        }
    }

    fn keep(&mut self, text: Box<str>, new: T, glyphs: usize) -> T {
        let size = glyphs + RUN;
        if self.filled + size > GENERATION {
            self.old = std::mem::take(&mut self.young);
            self.filled = 0;
        }
        self.filled += size;
        self.young.insert(text, (new.clone(), glyphs));
        new
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    #[test]
    fn words_without_end_take_a_bounded_room_and_those_in_use_stay() {
        let mut words = ShapedWords::<Arc<str>>::default();
        let often = words.add("often", Arc::from("often"), 0);
        for number in 0..GENERATION {
            let text = number.to_string();
            words.add(&text, Arc::from(text.as_str()), 0);
            let kept = words.get("often");
            assert!(kept.is_some_and(|kept| Arc::ptr_eq(&kept, &often)), "after {number}");
            assert!(words.young.len() + words.old.len() <= 2 * GENERATION / RUN);
        }
        assert!(words.get("0").is_none());
        assert!(words.get(&(GENERATION - 1).to_string()).is_some());
    }
}
