//! Words as one flat text, with the look of every stretch and what stretches lead to.

use super::reference::{Answers, ReferenceTarget, ReferenceText};
use crate::font::{FaceStyle, Fonts};
use crate::score::Inline;
use hypher::Lang;
use std::ops::Range;
use std::sync::Arc;

/// The size of code beside words, so that its small letters are as tall as theirs (measured on the
/// faces of the program).
pub const CODE_SIZE: f64 = 0.82;
/// The size of a footnote's mark, and how far it stands over the baseline, in ems (common practice, no
/// source).
pub const MARK_SIZE: f64 = 0.65;
const MARK_RISE: f64 = 0.36;

/// How a stretch of words looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Its face.
    pub face: FaceStyle,
    /// Its size, as a share of that of the words around it.
    pub size: f64,
    /// How far it stands over the baseline, in ems of the words around it.
    pub rise: f64,
}

impl From<FaceStyle> for Look {
    fn from(face: FaceStyle) -> Self {
        Self { face, size: 1.0, rise: 0.0 }
    }
}

impl Look {
    /// Code.
    pub fn code() -> Self {
        Self { face: FaceStyle::Mono, size: CODE_SIZE, rise: 0.0 }
    }

    /// The mark of a footnote.
    pub fn mark() -> Self {
        Self { face: FaceStyle::Regular, size: MARK_SIZE, rise: MARK_RISE }
    }
}

/// What words lead to.
#[derive(Clone, Debug, PartialEq)]
pub enum Lead {
    /// A block or a heading.
    Item(ReferenceTarget),
    /// An address.
    Address(Arc<str>),
    /// The mark of a footnote; it leads nowhere.
    NoteMark,
}

/// A stretch of a flat text that leads somewhere.
#[derive(Clone, Debug)]
pub struct Leading {
    /// Its bytes.
    pub range: Range<usize>,
    /// Bytes in whose place the number of its page is printed.
    pub page: Option<Range<usize>>,
    /// What it leads to.
    pub to: Lead,
}

/// A paragraph as flat text.
#[derive(Clone, Debug, Default)]
pub struct FlatText {
    /// The words.
    pub text: String,
    /// Stretches of one look, side by side.
    looks: Vec<(Range<usize>, Look)>,
    /// Stretches that lead somewhere, in order.
    leading: Vec<Leading>,
    /// The language by which its words are hyphenated; nothing where they are not.
    pub hyphens: Option<Lang>,
}

/// Words of a text that look alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TextPart<'a> {
    /// The number of the stretch they stand in.
    pub nth: usize,
    /// The byte of that stretch they start at.
    pub start: usize,
    /// The words; never none.
    pub words: &'a str,
    /// How they look.
    pub look: Look,
}

impl FlatText {
    /// A paragraph with what its references print.
    pub fn of(text: &[Inline], base: FaceStyle, answers: &Answers) -> Self {
        let mut flat = Self::default();
        flat.add(text, base, answers);
        flat
    }

    /// Adds words.
    pub fn push(&mut self, words: &str, look: impl Into<Look>) {
        let (start, look) = (self.text.len(), look.into());
        self.text.push_str(words);
        let end = self.text.len();
        match self.looks.last_mut() {
            _ if words.is_empty() => {}
            Some((span, last)) if *last == look => span.end = end,
            _ => self.looks.push((start..end, look)),
        }
    }

    /// Adds what stands for a reference.
    pub fn push_said(&mut self, said: &ReferenceText, face: FaceStyle) {
        let start = self.text.len();
        self.push(&said.words, face);
        let Some(to) = said.to else { return };
        let page = said.page.as_ref().map(|page| page.start + start..page.end + start);
        self.lead(start, page, Lead::Item(to));
    }

    /// The words from a byte on lead somewhere.
    fn lead(&mut self, start: usize, page: Option<Range<usize>>, to: Lead) {
        self.leading.push(Leading { range: start..self.text.len(), page, to });
    }

    /// The reader bounds how deep looks nest, and with it how deep this recurses.
    fn add(&mut self, text: &[Inline], face: FaceStyle, answers: &Answers) {
        for inline in text {
            let start = self.text.len();
            match inline {
                Inline::Text(words) => self.push(words, face),
                Inline::Code(words) => self.push(words, Look::code()),
                // A line separator ends the line (UAX #14, BK).
                Inline::Break => self.push("\u{2028}", face),
                Inline::Address(address) => {
                    self.push(address, face);
                    self.lead(start, None, Lead::Address(address.as_str().into()));
                }
                Inline::Emphasis(inner) => {
                    let face = face.slanted();
                    self.add(inner, face, answers);
                }
                Inline::Strong(inner) => self.add(inner, face.heavier(), answers),
                Inline::Link { address, words } => {
                    self.add(words, face, answers);
                    self.leading.retain(|inner| inner.range.end <= start);
                    self.lead(start, None, Lead::Address(address.as_str().into()));
                }
                Inline::Note(number) => {
                    // It stays at the word it belongs to.
                    self.push("\u{2060}", Look::mark());
                    self.push(&number.to_string(), Look::mark());
                    self.lead(start, None, Lead::NoteMark);
                }
                Inline::Reference(reference) => self.push_said(&answers.say(reference), face),
            }
        }
    }

    /// The stretches that lead somewhere in a stretch of the text, and the number of those before.
    pub fn leading_in(&self, range: &Range<usize>) -> (usize, &[Leading]) {
        let first = self.leading.partition_point(|lead| lead.range.end <= range.start);
        let end = self.leading.partition_point(|lead| lead.range.start < range.end);
        (first, self.leading.get(first..end).unwrap_or(&[]))
    }

    /// The words of a stretch, cut where their look changes.
    pub fn parts(&self, range: Range<usize>) -> impl Iterator<Item = TextPart<'_>> {
        let Range { start, end } = range;
        let first = self.looks.partition_point(|(span, _)| span.end <= start);
        let looks = self.looks.iter().enumerate().skip(first);
        looks.take_while(move |(_, (span, _))| span.start < end).filter_map(
            move |(nth, (span, look))| {
                let from = span.start.max(start);
                let words = self.text.get(from..span.end.min(end)).filter(|w| !w.is_empty())?;
                Some(TextPart { nth, start: from - span.start, words, look: *look })
            },
        )
    }

    /// Whether a byte is part of words that may be hyphenated: no code, no address.
    pub fn is_plain(&self, at: usize) -> bool {
        let look = self.looks.partition_point(|(span, _)| span.end <= at);
        let look = self.looks.get(look).map(|(_, look)| *look);
        let lead = self.leading.partition_point(|lead| lead.range.end <= at);
        let lead = self.leading.get(lead).filter(|lead| lead.range.start <= at);
        // Behind words of a link stands an address; one that is printed as it is must stay whole.
        let whole = |lead: &Leading| match &lead.to {
            Lead::Address(address) => self.text.get(lead.range.clone()) == Some(address),
            Lead::Item(_) | Lead::NoteMark => true,
        };
        look.is_some_and(|look| look.face != FaceStyle::Mono) && !lead.is_some_and(whole)
    }

    /// How wide a stretch is, in ems.
    pub fn width(&self, fonts: &Fonts, range: Range<usize>) -> f64 {
        let width = |part: TextPart<'_>| {
            fonts.text.shape(part.words, part.look.face).width * part.look.size
        };
        self.parts(range).map(width).sum()
    }
}
