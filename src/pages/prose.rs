//! Prose to lines (break opportunities after Unicode Standard Annex 14).

use crate::drawing::{Kind, Mark, Shape};
use crate::font::{FaceStyle, Fonts};
use crate::syntax::tree::Inline;
use kurbo::Point;
use std::ops::Range;
use unicode_linebreak::{BreakOpportunity, linebreaks};

/// Words in one face.
struct Segment {
    text: String,
    style: FaceStyle,
}

/// A paragraph as flat text with the face of every stretch.
struct Flat {
    text: String,
    styles: Vec<(Range<usize>, FaceStyle)>,
}

/// Lines of a paragraph, each a row of marks whose baseline is at y nought and whose left end is
/// at x nought.
pub fn lines(
    fonts: &Fonts,
    text: &[Inline],
    base: FaceStyle,
    size: f64,
    width: f64,
    kind: Kind,
) -> Vec<Vec<Mark>> {
    let flat = flatten(text, base);
    break_text(fonts, &flat, size, width)
        .into_iter()
        .map(|range| line_marks(fonts, &flat, range, size, kind))
        .collect()
}

/// The words alone.
pub fn words(text: &[Inline]) -> String {
    flatten(text, FaceStyle::Regular).text
}

fn flatten(text: &[Inline], base: FaceStyle) -> Flat {
    let mut flat = Flat { text: String::new(), styles: Vec::new() };
    flatten_into(&mut flat, text, base);
    flat
}

/// The tree nests emphasis two deep at most, so this does not recurse further.
fn flatten_into(flat: &mut Flat, text: &[Inline], style: FaceStyle) {
    for inline in text {
        match inline {
            Inline::Text(words) => {
                let start = flat.text.len();
                flat.text.push_str(words);
                flat.styles.push((start..flat.text.len(), style));
            }
            Inline::Emphasis(inner) => {
                let style = if style == FaceStyle::Bold { style } else { FaceStyle::Italic };
                flatten_into(flat, inner, style);
            }
            Inline::Strong(inner) => flatten_into(flat, inner, FaceStyle::Bold),
        }
    }
}

/// Ranges of text, one a line, trailing blanks cut.
fn break_text(fonts: &Fonts, flat: &Flat, size: f64, width: f64) -> Vec<Range<usize>> {
    let mut lines = Vec::new();
    let mut start = 0;
    let mut fits = 0;
    let mut used = 0.0;
    for (at, opportunity) in linebreaks(&flat.text) {
        let piece = measure(fonts, flat, fits..at) * size;
        let ink = measure(fonts, flat, fits..trimmed(&flat.text, fits..at).end) * size;
        if used + ink > width && fits > start {
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

fn segments(flat: &Flat, range: Range<usize>) -> Vec<Segment> {
    let mut segments: Vec<Segment> = Vec::new();
    for (span, style) in &flat.styles {
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

fn measure(fonts: &Fonts, flat: &Flat, range: Range<usize>) -> f64 {
    segments(flat, range).iter().map(|s| fonts.text.shape(&s.text, s.style).width).sum()
}

fn line_marks(fonts: &Fonts, flat: &Flat, range: Range<usize>, size: f64, kind: Kind) -> Vec<Mark> {
    let mut x = 0.0;
    let mut marks = Vec::new();
    for segment in segments(flat, range) {
        let run = fonts.text.shape(&segment.text, segment.style);
        let width = run.width * size;
        marks.push(Mark::new(kind, Shape::Text { run, at: Point::new(x, 0.0), size }));
        x += width;
    }
    marks
}
