//! Prose to lines (break opportunities after Unicode Standard Annex 14).

use super::reference::{Answers, ReferenceText};
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{FaceStyle, Fonts};
use crate::score::Inline;
use kurbo::Point;
use std::ops::Range;
use std::sync::Arc;
use unicode_linebreak::{BreakOpportunity, linebreaks};

/// How words are set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WordStyle {
    /// What they are.
    pub kind: Kind,
    /// Their face, but where they are emphasized.
    pub face: FaceStyle,
    /// Their size, in points.
    pub size: f64,
}

/// Words in one face.
struct Segment {
    text: String,
    style: FaceStyle,
}

/// A line of prose. Its marks have their baseline at y zero; its left end is at x zero.
#[derive(Clone, Debug, Default)]
pub struct ProseLine {
    /// Its words.
    pub marks: Vec<Mark>,
    /// Words that lead to a block.
    pub links: Vec<LineLink>,
    /// Words that are an address of the web: their ends and the address.
    pub addresses: Vec<(f64, f64, Arc<str>)>,
}

/// A stretch of a line that leads to a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineLink {
    /// Its left end.
    pub x0: f64,
    /// Its right end.
    pub x1: f64,
    /// The block's index among the items.
    pub item: usize,
}

/// A paragraph as flat text with the face of every stretch.
#[derive(Default)]
pub struct FlatText {
    text: String,
    styles: Vec<(Range<usize>, FaceStyle)>,
    told: Vec<ToldThere>,
    addresses: Vec<(Range<usize>, Arc<str>)>,
}

/// A reference in a flat text.
struct ToldThere {
    range: Range<usize>,
    /// Bytes in whose place something else is printed, no wider.
    page: Option<(Range<usize>, String)>,
    item: usize,
}

impl FlatText {
    /// A paragraph with what its references print.
    pub fn of(text: &[Inline], base: FaceStyle, answers: &Answers) -> Self {
        let mut flat = Self::default();
        flatten_into(&mut flat, text, base, answers);
        flat
    }

    /// Adds an address.
    fn push_address(&mut self, address: &str, style: FaceStyle) {
        let start = self.text.len();
        self.push(address, style);
        self.addresses.push((start..self.text.len(), address.into()));
    }

    /// Adds words.
    pub fn push(&mut self, words: &str, style: FaceStyle) {
        let start = self.text.len();
        self.text.push_str(words);
        self.styles.push((start..self.text.len(), style));
    }

    /// Adds what stands for a reference.
    pub fn push_said(&mut self, said: &ReferenceText, style: FaceStyle) {
        let start = self.text.len();
        self.push(&said.words, style);
        let Some(item) = said.item else { return };
        let page = said.page.as_ref();
        let page = page.map(|(range, page)| (range.start + start..range.end + start, page.clone()));
        self.told.push(ToldThere { range: start..self.text.len(), page, item });
    }

    /// Its lines.
    pub fn lines(&self, fonts: &Fonts, size: f64, width: f64, kind: Kind) -> Vec<ProseLine> {
        let ranges = break_text(fonts, self, size, width);
        ranges.into_iter().map(|range| line(fonts, self, range, size, kind)).collect()
    }

    /// The addresses in a stretch of the text.
    fn addresses_in(&self, range: &Range<usize>) -> &[(Range<usize>, Arc<str>)] {
        let first = self.addresses.partition_point(|(at, _)| at.end <= range.start);
        let end = self.addresses.partition_point(|(at, _)| at.start < range.end);
        self.addresses.get(first..end).unwrap_or(&[])
    }

    /// The references in a stretch of the text.
    fn told_in(&self, range: &Range<usize>) -> &[ToldThere] {
        let first = self.told.partition_point(|told| told.range.end <= range.start);
        let end = self.told.partition_point(|told| told.range.start < range.end);
        self.told.get(first..end).unwrap_or(&[])
    }
}

/// Lines of a text that refers to nothing, each a row of marks whose baseline is at y zero and
/// whose left end is at x zero.
pub fn lines(fonts: &Fonts, text: &[Inline], style: WordStyle, width: f64) -> Vec<Vec<Mark>> {
    let flat = FlatText::of(text, style.face, &Answers::default());
    let lines = flat.lines(fonts, style.size, width, style.kind);
    lines.into_iter().map(|line| line.marks).collect()
}

/// The words alone.
pub fn words(text: &[Inline]) -> String {
    FlatText::of(text, FaceStyle::Regular, &Answers::default()).text
}

/// The tree nests emphasis two deep at most, so this does not recurse further.
fn flatten_into(flat: &mut FlatText, text: &[Inline], style: FaceStyle, answers: &Answers) {
    for inline in text {
        match inline {
            Inline::Text(words) => flat.push(words, style),
            Inline::Address(address) => flat.push_address(address, style),
            Inline::Emphasis(inner) => {
                let style = if style == FaceStyle::Bold { style } else { FaceStyle::Italic };
                flatten_into(flat, inner, style, answers);
            }
            Inline::Strong(inner) => flatten_into(flat, inner, FaceStyle::Bold, answers),
            Inline::Reference(reference) => flat.push_said(&answers.say(reference), style),
        }
    }
}

/// Ranges of text, one a line, trailing blanks cut.
fn break_text(fonts: &Fonts, flat: &FlatText, size: f64, width: f64) -> Vec<Range<usize>> {
    let mut lines = Vec::new();
    let mut start = 0;
    let mut fits = 0;
    let mut used = 0.0;
    for (at, opportunity) in linebreaks(&flat.text) {
        let piece = measure(fonts, flat, fits..at) * size;
        // The blank after a word may hang over; only a word at the end of a line is measured without.
        let ink = || measure(fonts, flat, fits..trimmed(&flat.text, fits..at).end) * size;
        if fits > start && used + piece > width && used + ink() > width {
            lines.push(trimmed(&flat.text, start..fits));
            start = fits;
            used = 0.0;
        }
        used += piece;
        fits = at;
        if opportunity == BreakOpportunity::Mandatory {
            lines.push(trimmed(&flat.text, start..at));
            start = at;
            used = 0.0;
        }
    }
    if start < flat.text.len() {
        lines.push(trimmed(&flat.text, start..flat.text.len()));
    }
    lines
}

fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let kept = text.get(range.clone()).unwrap_or("").trim_end().len();
    range.start..range.start + kept
}

fn segments(flat: &FlatText, range: Range<usize>) -> Vec<Segment> {
    let mut segments: Vec<Segment> = Vec::new();
    let first = flat.styles.partition_point(|(span, _)| span.end <= range.start);
    let styles = flat.styles.iter().skip(first).take_while(|(span, _)| span.start < range.end);
    for (span, style) in styles {
        let start = span.start.max(range.start);
        let end = span.end.min(range.end);
        let Some(words) = flat.text.get(start..end).filter(|w| !w.is_empty()) else { continue };
        match segments.last_mut() {
            Some(last) if last.style == *style => last.text.push_str(words),
            _ => segments.push(Segment { text: words.to_owned(), style: *style }),
        }
    }
    segments
}

fn measure(fonts: &Fonts, flat: &FlatText, range: Range<usize>) -> f64 {
    segments(flat, range).iter().map(|s| fonts.text.shape(&s.text, s.style).width).sum()
}

fn line(fonts: &Fonts, flat: &FlatText, range: Range<usize>, size: f64, kind: Kind) -> ProseLine {
    let told = flat.told_in(&range);
    let mut cuts = vec![range.start, range.end];
    for there in told {
        cuts.extend([there.range.start, there.range.end]);
        cuts.extend(there.page.iter().flat_map(|(page, _)| [page.start, page.end]));
    }
    let addresses = flat.addresses_in(&range);
    cuts.extend(addresses.iter().flat_map(|(at, _)| [at.start, at.end]));
    cuts.retain(|cut| (range.start..=range.end).contains(cut));
    cuts.sort_unstable();
    cuts.dedup();
    let mut x = 0.0;
    let mut set = ProseLine::default();
    for (start, end) in cuts.iter().zip(cuts.iter().skip(1)) {
        let there = told.iter().find(|t| t.range.start <= *start && *end <= t.range.end);
        let printed =
            there.and_then(|t| t.page.as_ref()).filter(|(page, _)| *page == (*start..*end));
        let x0 = x;
        for segment in segments(flat, *start..*end) {
            let words = printed.map_or(segment.text.as_str(), |(_, words)| words.as_str());
            let run = fonts.text.shape(words, segment.style);
            let width = run.width * size;
            set.marks.push(Mark::new(kind, Shape::Text { run, at: Point::new(x, 0.0), size }));
            x += width;
        }
        let address = addresses.iter().find(|(at, _)| at.start <= *start && *end <= at.end);
        if let Some((_, address)) = address {
            set.addresses.push((x0, x, address.clone()));
        }
        let Some(item) = there.map(|t| t.item) else { continue };
        match set.links.last_mut() {
            Some(last) if last.item == item && last.x1 == x0 => last.x1 = x,
            _ => set.links.push(LineLink { x0, x1: x, item }),
        }
    }
    set
}
