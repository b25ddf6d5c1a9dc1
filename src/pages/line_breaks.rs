//! Where the lines of a text end (break opportunities after Unicode Standard Annex 14).

use super::shaped_flat::ShapedFlat;
use crate::font::FaceStyle;
use std::ops::Range;
use unicode_linebreak::{BreakOpportunity, linebreaks};

/// A line filled less than this share of its width is filled up with a part of the next word (ragged
/// right; tried on prose of 60 to 70 letters a line, no source).
const FULL: f64 = 0.8;
/// The fewest letters of a word that is hyphenated (common practice, no source).
const LETTERS: usize = 6;
/// What stands at the end of a line in a word.
pub const HYPHEN: &str = "-";
/// The most letters of a word without a break that are looked at for where a line ends in it.
const LONGEST: usize = 400;

/// A line of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextLine {
    /// Its bytes, without the blanks at its end.
    pub range: Range<usize>,
    /// Whether it ends inside a word, and a hyphen says so.
    pub hyphen: bool,
}

/// Lines of a text.
pub fn break_text(shaped: &ShapedFlat<'_>, size: f64, width: f64) -> Vec<TextLine> {
    let text = &shaped.flat.text;
    let mut lines =
        Lines { shaped, text, size, width, done: Vec::new(), start: 0, fits: 0, used: 0.0 };
    for (at, opportunity) in linebreaks(text) {
        lines.take(at);
        if opportunity == BreakOpportunity::Mandatory {
            lines.end_at(at);
        }
    }
    if lines.start < text.len() {
        lines.end_at(text.len());
    }
    lines.done
}

/// Lines as they are filled.
struct Lines<'a> {
    shaped: &'a ShapedFlat<'a>,
    text: &'a str,
    size: f64,
    width: f64,
    done: Vec<TextLine>,
    /// Where the line that is being filled starts, and how far it is filled.
    start: usize,
    fits: usize,
    /// How wide it is so far.
    used: f64,
}

impl Lines<'_> {
    fn measure(&self, range: Range<usize>) -> f64 {
        self.shaped.width(range) * self.size
    }

    /// Takes the words up to the next place where a line may end.
    fn take(&mut self, at: usize) {
        let mut piece = self.measure(self.fits..at);
        loop {
            // The blank after a word may hang over; only a word at the end of a line is measured without.
            let ink = |lines: &Self| lines.measure(trimmed(lines.text, lines.fits..at));
            if self.used + piece <= self.width || self.used + ink(self) <= self.width {
                break;
            }
            let alone = self.fits == self.start;
            let filled = self.measure(trimmed(self.text, self.start..self.fits));
            let hyphenated =
                if alone || filled < FULL * self.width { self.hyphenated(at) } else { None };
            if let Some(cut) = hyphenated {
                self.end_line(cut, true);
                piece = self.measure(cut..at);
            } else if !alone {
                self.end_at(self.fits);
            } else {
                // A word wider than a line is parted where it must be.
                let Some(cut) = self.most_that_fits(at) else { break };
                let parted = self.measure(self.fits..cut);
                self.end_at(cut);
                piece = (piece - parted).max(0.0);
            }
        }
        self.used += piece;
        self.fits = at;
    }

    /// The end of the line in which nothing else stands, at most at a byte: as many letters as fit, and
    /// at least one; nothing where the rest is one letter.
    fn most_that_fits(&self, at: usize) -> Option<usize> {
        let word = trimmed(self.text, self.fits..at);
        let letters = self.text.get(word.clone())?.char_indices().skip(1).take(LONGEST);
        let places: Vec<usize> = letters
            .filter(|(_, c)| !is_joined(*c))
            .map(|(offset, _)| word.start + offset)
            .collect();
        let fitting =
            places.partition_point(|place| self.measure(word.start..*place) <= self.width);
        places.get(fitting.saturating_sub(1)).copied()
    }

    /// Where in the next word the line may end with a hyphen: as far on as there is room.
    fn hyphenated(&self, at: usize) -> Option<usize> {
        let language = self.shaped.flat.hyphens?;
        let piece = self.text.get(self.fits..at)?;
        let word = piece.trim_matches(|c: char| !c.is_alphabetic());
        let count = word.chars().count();
        let plain = word.chars().all(char::is_alphabetic);
        if !plain || !(LETTERS..LONGEST).contains(&count) {
            return None;
        }
        let start = self.fits + piece.find(word)?;
        if !self.shaped.flat.is_plain(start) || !self.shaped.flat.is_plain(start + word.len() - 1) {
            return None;
        }
        let hyphen = self.shaped.fonts.text.shape(HYPHEN, FaceStyle::Regular).width * self.size;
        let room = self.width - self.used - hyphen;
        let mut place = start;
        let mut found = None;
        for syllable in hypher::hyphenate(word, language) {
            place += syllable.len();
            if place >= start + word.len() || self.measure(self.fits..place) > room {
                break;
            }
            found = Some(place);
        }
        found
    }

    fn end_at(&mut self, at: usize) {
        self.end_line(at, false);
    }

    fn end_line(&mut self, at: usize, hyphen: bool) {
        let range = trimmed(self.text, self.start..at);
        self.done.push(TextLine { range, hyphen });
        self.start = at;
        self.fits = at;
        self.used = 0.0;
    }
}

/// Whether a character belongs to the letter before it.
fn is_joined(c: char) -> bool {
    matches!(c, '\u{0300}'..='\u{036F}' | '\u{200D}' | '\u{2060}' | '\u{FE00}'..='\u{FE0F}')
}

fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let kept = text.get(range.clone()).unwrap_or("").trim_end().len();
    range.start..range.start + kept
}
