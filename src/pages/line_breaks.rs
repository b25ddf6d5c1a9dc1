//! Where the lines of a text end (break opportunities after Unicode Standard Annex 14).

use super::flat_text::FlatText;
use crate::font::Fonts;
use std::ops::Range;
use unicode_linebreak::{BreakOpportunity, linebreaks};

/// The most letters of a word without a break that are looked at for where a line ends in it.
const LONGEST: usize = 400;

/// Lines of a text, each without the blanks at its end.
pub fn break_text(fonts: &Fonts, flat: &FlatText, size: f64, width: f64) -> Vec<Range<usize>> {
    let mut lines =
        Lines { fonts, flat, size, width, done: Vec::new(), start: 0, fits: 0, used: 0.0 };
    for (at, opportunity) in linebreaks(&flat.text) {
        lines.take(at);
        if opportunity == BreakOpportunity::Mandatory {
            lines.end_at(at);
        }
    }
    if lines.start < flat.text.len() {
        lines.end_at(flat.text.len());
    }
    lines.done
}

/// Lines as they are filled.
struct Lines<'a> {
    fonts: &'a Fonts,
    flat: &'a FlatText,
    size: f64,
    width: f64,
    done: Vec<Range<usize>>,
    /// Where the line that is being filled starts, and how far it is filled.
    start: usize,
    fits: usize,
    /// How wide it is so far.
    used: f64,
}

impl Lines<'_> {
    fn measure(&self, range: Range<usize>) -> f64 {
        self.flat.width(self.fonts, range) * self.size
    }

    /// Takes the words up to the next place where a line may end.
    fn take(&mut self, at: usize) {
        let mut piece = self.measure(self.fits..at);
        loop {
            // The blank after a word may hang over; only a word at the end of a line is measured without.
            let ink = |lines: &Self| lines.measure(trimmed(&lines.flat.text, lines.fits..at));
            if self.used + piece <= self.width || self.used + ink(self) <= self.width {
                break;
            }
            if self.fits > self.start {
                self.end_at(self.fits);
                continue;
            }
            // A word wider than a line is parted where it must be.
            let Some(cut) = self.most_that_fits(at) else { break };
            let parted = self.measure(self.fits..cut);
            self.end_at(cut);
            piece = (piece - parted).max(0.0);
        }
        self.used += piece;
        self.fits = at;
    }

    /// The end of the line in which nothing else stands, at most at a byte: as many letters as fit, and
    /// at least one; nothing where the rest is one letter.
    fn most_that_fits(&self, at: usize) -> Option<usize> {
        let word = trimmed(&self.flat.text, self.fits..at);
        let letters = self.flat.text.get(word.clone())?.char_indices().skip(1).take(LONGEST);
        let places: Vec<usize> = letters
            .filter(|(_, c)| !is_joined(*c))
            .map(|(offset, _)| word.start + offset)
            .collect();
        let fitting =
            places.partition_point(|place| self.measure(word.start..*place) <= self.width);
        places.get(fitting.saturating_sub(1)).copied()
    }

    fn end_at(&mut self, at: usize) {
        self.done.push(trimmed(&self.flat.text, self.start..at));
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
