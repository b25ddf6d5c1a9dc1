//! Words as lines of marks.

use super::flat_text::{FlatText, Lead};
use super::line_breaks::{HYPHEN, TextLine, break_text};
use super::reference::Answers;
use super::shaped_flat::ShapedFlat;
use crate::drawing::{Kind, Mark, Shape};
use crate::font::{FaceStyle, Fonts};
use crate::score::Inline;
use kurbo::Point;
use std::ops::Range;

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

/// A line of prose. Its marks have their baseline at y zero; its left end is at x zero.
#[derive(Clone, Debug, Default)]
pub struct ProseLine {
    /// Its words, cut where those begin or end that lead somewhere.
    pub parts: Vec<LinePart>,
}

/// Words of a line.
#[derive(Clone, Debug)]
pub struct LinePart {
    /// The words.
    pub marks: Vec<Mark>,
    /// Their left end.
    pub x0: f64,
    /// Their right end.
    pub x1: f64,
    /// What they lead to, and how many other such words stand before them in their text.
    pub lead: Option<(usize, Lead)>,
    /// The number of a page among these.
    pub number: Option<LineNumber>,
}

/// The number of a page in words of a line, or some figures of it where it is wider than a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineNumber {
    /// Which of the marks it is.
    pub mark: usize,
    /// Which of its figures stand here.
    pub figures: Range<usize>,
}

impl ProseLine {
    /// All its words.
    pub fn marks(&self) -> Vec<Mark> {
        self.parts.iter().flat_map(|part| part.marks.iter().cloned()).collect()
    }

    /// Its right end.
    pub fn width(&self) -> f64 {
        self.parts.last().map_or(0.0, |part| part.x1)
    }
}

/// The lines of a text of a size, no wider than a width, both in points.
pub fn set(fonts: &Fonts, flat: &FlatText, size: f64, width: f64, kind: Kind) -> Vec<ProseLine> {
    let shaped = ShapedFlat::new(fonts, flat);
    let lines = break_text(&shaped, size, width);
    lines.into_iter().map(|own| line(&shaped, &own, (size, kind))).collect()
}

/// Lines of a text that refers to nothing, each a row of marks whose baseline is at y zero and
/// whose left end is at x zero.
pub fn lines(fonts: &Fonts, text: &[Inline], style: WordStyle, width: f64) -> Vec<Vec<Mark>> {
    let flat = FlatText::of(text, style.face, &Answers::default());
    let lines = set(fonts, &flat, style.size, width, style.kind);
    lines.iter().map(ProseLine::marks).collect()
}

/// The words alone.
pub fn words(text: &[Inline]) -> String {
    let flat = FlatText::of(text, FaceStyle::Regular, &Answers::default());
    flat.text.replace('\u{2028}', " ").replace('\u{2060}', "")
}

fn line(shaped: &ShapedFlat<'_>, own: &TextLine, (size, kind): (f64, Kind)) -> ProseLine {
    let (flat, range) = (shaped.flat, own.range.clone());
    let (first, leading) = flat.leading_in(&range);
    let mut cuts = vec![range.start, range.end];
    for lead in leading {
        cuts.extend([lead.range.start, lead.range.end]);
        cuts.extend(lead.page.iter().flat_map(|page| [page.start, page.end]));
    }
    cuts.retain(|cut| (range.start..=range.end).contains(cut));
    cuts.sort_unstable();
    cuts.dedup();
    let mut x = 0.0;
    let mut set = ProseLine { parts: Vec::with_capacity(cuts.len().saturating_sub(1)) };
    for (start, end) in cuts.iter().zip(cuts.iter().skip(1)) {
        let lead = leading.iter().position(|l| l.range.start <= *start && *end <= l.range.end);
        let there = lead.and_then(|nth| leading.get(nth));
        let page = there.and_then(|lead| lead.page.as_ref());
        let page = page.filter(|page| page.start <= *start && *end <= page.end);
        let number = page.map(|page| {
            // Whatever comes after the last zero is here.
            let last = if *end == page.end { usize::MAX } else { *end - page.start };
            LineNumber { mark: 0, figures: *start - page.start..last }
        });
        // Nearly all are of one look; an index keeps thousands.
        let marks = Vec::with_capacity(1);
        let mut part = LinePart { marks, x0: x, x1: x, lead: None, number };
        let mut texts = flat.parts(*start..*end).peekable();
        while let Some(text) = texts.next() {
            let look = text.look;
            let broken = own.hyphen && *end == range.end && texts.peek().is_none();
            let run = match broken {
                true => shaped.shape(&[text.words, HYPHEN].concat(), look),
                false => shaped.run(&text),
            };
            let (at, own) = (Point::new(x, -look.rise * size), size * look.size);
            x += run.width * own;
            part.marks.push(Mark::new(kind, Shape::Text { run, at, size: own }));
        }
        part.x1 = x;
        part.lead = lead.zip(there).map(|(nth, there)| (first + nth, there.to.clone()));
        match set.parts.last_mut() {
            Some(last) if last.lead == part.lead => {
                let before = last.marks.len();
                let number = part.number.map(|number| LineNumber { mark: before, ..number });
                last.number = last.number.take().or(number);
                last.marks.append(&mut part.marks);
                last.x1 = x;
            }
            _ => set.parts.push(part),
        }
    }
    set
}
