//! Words that were shaped before. A program that stays meets ever new ones, so that only those used lately
//! are kept.

use super::face_style::FaceStyle;
use foldhash::quality::RandomState;
use std::borrow::Borrow;
use std::collections::HashSet;
use std::hash::{Hash, Hasher};
use std::sync::{Mutex, PoisonError};

/// In how many parts the words of a style are kept, so that threads seldom ask for the same part at once.
const PARTS: usize = if cfg!(feature = "parallel") { 16 } else { 1 };

/// How many bytes words have that may come again as they are: common practice, no source.
pub(super) const TITLE: usize = 64;

/// Glyphs of a generation in all parts of a style: more than the different words of a long book come to, in five
/// megabytes. Common practice, no source.
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

/// Shaped words of each style, for all threads.
pub(super) struct SharedWords<T> {
    styles: [[Mutex<ShapedWords<T>>; PARTS]; FaceStyle::ALL.len()],
}

impl<T> Default for SharedWords<T> {
    fn default() -> Self {
        Self { styles: std::array::from_fn(|_| std::array::from_fn(|_| Mutex::default())) }
    }
}

impl<T: Shaped> SharedWords<T> {
    /// What is kept of words in a style.
    pub(super) fn get(&self, text: &str, style: FaceStyle) -> Option<T> {
        self.part(text, style).lock().unwrap_or_else(PoisonError::into_inner).get(text)
    }

    /// Keeps something of words in a style; what is kept of them already, where there is anything.
    pub(super) fn add(&self, new: T, style: FaceStyle) -> T {
        self.part(new.words(), style).lock().unwrap_or_else(PoisonError::into_inner).add(new)
    }

    /// Where words are kept: their ends tell most words apart.
    fn part(&self, text: &str, style: FaceStyle) -> &Mutex<ShapedWords<T>> {
        let [regular, semibold, italic, semibold_italic, mono] = &self.styles;
        let parts = match style {
            FaceStyle::Regular => regular,
            FaceStyle::Semibold => semibold,
            FaceStyle::Italic => italic,
            FaceStyle::SemiboldItalic => semibold_italic,
            FaceStyle::Mono => mono,
        };
        let end = text.bytes().rev().take(8);
        let mixed = end.fold(text.len(), |mixed, byte| mixed.wrapping_mul(31) ^ usize::from(byte));
        parts.get(mixed % PARTS).unwrap_or(&parts[0])
    }
}

/// Shaped words of one style, in two generations: where the younger is full, it becomes the older, and what
/// was not used since the older was full is dropped.
struct ShapedWords<T> {
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
    fn get(&mut self, text: &str) -> Option<T> {
        if let Some(ByWords(kept)) = self.young.get(text) {
            return Some(kept.clone());
        }
        let ByWords(kept) = self.old.take(text)?;
        Some(self.keep(kept))
    }

    /// Keeps something of words; what is kept of them already, where there is anything.
    fn add(&mut self, new: T) -> T {
        match self.get(new.words()) {
            Some(kept) => kept,
            None => self.keep(new),
        }
    }

    fn keep(&mut self, new: T) -> T {
        let size = new.glyphs() + RUN;
        if self.filled + size > GENERATION / PARTS {
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
        let words = SharedWords::<Arc<str>>::default();
        let style = FaceStyle::Regular;
        let often = words.add(Arc::from("often"), style);
        for number in 0..GENERATION {
            let text = number.to_string();
            words.add(Arc::from(text), style);
            let kept = words.get("often", style);
            assert!(kept.is_some_and(|kept| Arc::ptr_eq(&kept, &often)), "after {number}");
        }
        let kept = |part: &Mutex<ShapedWords<Arc<str>>>| {
            let part = part.lock().expect("nobody panicked");
            part.young.len() + part.old.len()
        };
        let counts: Vec<usize> = words.styles.as_flattened().iter().map(kept).collect();
        assert!(counts.iter().all(|count| *count <= 2 * (GENERATION / PARTS / RUN)), "{counts:?}");
        assert!(counts.iter().filter(|count| **count > 0).count() == PARTS, "{counts:?}");
        assert!(words.get("0", style).is_none());
        assert!(words.get(&(GENERATION - 1).to_string(), style).is_some());
        assert!(words.get("often", FaceStyle::Italic).is_none(), "of another style");
    }
}
