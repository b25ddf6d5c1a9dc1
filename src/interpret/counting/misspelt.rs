//! Words of a count row that were meant as others.

use super::counter::Counter;
use crate::source::say;

/// Largest beat that is written as a word.
const LARGEST_WORD: usize = 12;
/// Longest word that is looked at, in bytes: a bar of sixteenths run together.
const LONGEST: usize = 40;

impl Counter {
    /// What a word that is no syllable was surely meant to be, and what to do: commas left out, a number in
    /// figures, or the syllables it runs together apart.
    pub(super) fn meant(&self, word: &str) -> Option<(String, String)> {
        if word.len() > LONGEST {
            return None;
        }
        let bare: Vec<&str> =
            word.split([',', ';']).map(str::trim).filter(|part| !part.is_empty()).collect();
        if word.contains([',', ';']) && !bare.is_empty() {
            let parts: Option<Vec<String>> = bare.iter().map(|part| self.known(part)).collect();
            let text = parts?.join(" ");
            return Some((text.clone(), format!("leave the commas out: `{text}`")));
        }
        let text = self.known(word)?;
        let mend = match text.contains(' ') {
            true => format!("put spaces between: `{text}`"),
            false => format!("write the beat in figures, `{text}`"),
        };
        Some((text, mend))
    }

    /// A word as it is to be written: a number or a syllable itself, a number from one to twelve in figures,
    /// syllables that were run together apart.
    fn known(&self, word: &str) -> Option<String> {
        if self.is_said(word) {
            return Some(word.to_owned());
        }
        let small = word.to_lowercase();
        if let Some(number) = (1..=LARGEST_WORD).find(|n| say::number(*n) == small) {
            return Some(number.to_string());
        }
        let mut rest = word;
        let mut parts = Vec::new();
        while !rest.is_empty() {
            let ends = rest.char_indices().map(|(at, c)| at + c.len_utf8());
            let said = |end: &usize| rest.get(..*end).is_some_and(|part| self.is_said(part));
            let end = ends.rev().find(said)?;
            let (part, after) = rest.split_at_checked(end)?;
            parts.push(part);
            rest = after;
        }
        // `ee` is a slip, and no two syllables.
        parts.windows(2).all(|pair| pair[0] != pair[1]).then(|| parts.join(" "))
    }

    /// Whether a word is a number or a syllable by itself.
    fn is_said(&self, word: &str) -> bool {
        word.parse::<u32>().is_ok()
            || self.beats.iter().any(|beat| !self.parts_of(beat, word).is_empty())
    }
}
