//! Words that were shaped before. A program that stays meets ever new ones, so that only those used lately
//! are kept.

use super::run::GlyphRun;
use std::collections::HashMap;
use std::sync::Arc;

/// Glyphs of a generation: more than the different words of a long book come to, in five megabytes.
/// Common practice, no source.
const GENERATION: usize = 100_000;
/// Glyphs that take as much room as what a run takes besides its own: its words, twice, and its entry.
const RUN: usize = 4;

type Runs = HashMap<Box<str>, Arc<GlyphRun>>;

/// Shaped words of one style, in two generations: where the younger is full, it becomes the older, and what
/// was not used since the older was full is dropped.
#[derive(Default)]
pub(super) struct ShapedWords {
    young: Runs,
    old: Runs,
    /// What the younger comes to, in glyphs.
    filled: usize,
}

impl ShapedWords {
    /// The run of words, where it is kept.
    pub(super) fn get(&mut self, text: &str) -> Option<Arc<GlyphRun>> {
        if let Some(run) = self.young.get(text) {
            return Some(run.clone());
        }
        let (text, run) = self.old.remove_entry(text)?;
        Some(self.keep(text, run))
    }

    /// Keeps the run of words; the one that is kept already, where there is one.
    pub(super) fn add(&mut self, text: &str, run: Arc<GlyphRun>) -> Arc<GlyphRun> {
        match self.get(text) {
            Some(run) => run,
            None => self.keep(text.into(), run),
        }
    }

    fn keep(&mut self, text: Box<str>, run: Arc<GlyphRun>) -> Arc<GlyphRun> {
        let size = run.glyphs.len() + RUN;
        if self.filled + size > GENERATION {
            self.old = std::mem::take(&mut self.young);
            self.filled = 0;
        }
        self.filled += size;
        self.young.insert(text, run.clone());
        run
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::font::FaceStyle;

    fn run(text: &str) -> Arc<GlyphRun> {
        let text = text.to_owned();
        Arc::new(GlyphRun { text, style: FaceStyle::Regular, glyphs: Vec::new(), width: 0.0 })
    }

    #[test]
    fn words_without_end_take_a_bounded_room_and_those_in_use_stay() {
        let mut words = ShapedWords::default();
        let often = words.add("often", run("often"));
        for number in 0..GENERATION {
            let text = number.to_string();
            words.add(&text, run(&text));
            let kept = words.get("often");
            assert!(kept.is_some_and(|kept| Arc::ptr_eq(&kept, &often)), "after {number}");
            assert!(words.young.len() + words.old.len() <= 2 * GENERATION / RUN);
        }
        assert!(words.get("0").is_none());
        assert!(words.get(&(GENERATION - 1).to_string()).is_some());
    }
}
