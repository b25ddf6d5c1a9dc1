//! Lines at the left edge: headings, list entries and prose.

use super::grammar::{Piece, Rule};
use super::prose;
use super::tree::Paragraph;
use crate::score::Inline;
use crate::source::Span;

/// A line at the left edge.
pub enum Flush<'a> {
    /// The signs of a heading and its words, which may be missing.
    Heading(Piece<'a>, Piece<'a>),
    /// An entry of a list.
    Entry {
        /// Numbered or dashed.
        numbered: bool,
        /// Its words.
        words: Piece<'a>,
    },
    /// The words of a part.
    Part(Piece<'a>),
    /// The name of a file to include.
    Include(Piece<'a>),
    /// `--`.
    Break,
    /// Prose, or the head of a block.
    Words,
}

/// What a line at the left edge is by its first signs.
pub fn classify(body: Piece<'_>) -> Flush<'_> {
    let Some(token) = body.tokens(Rule::flush_line).next() else { return Flush::Words };
    match token.as_rule() {
        Rule::heading => {
            let mut parts = token.into_inner();
            let hashes = parts.next().map_or(body, |token| body.part(&token));
            let empty = Piece { text: "", start: body.start + body.text.len() };
            Flush::Heading(hashes, parts.next().map_or(empty, |token| body.part(&token)))
        }
        Rule::list_entry => {
            let mut parts = token.into_inner();
            let numbered = parts.next().is_some_and(|sign| sign.as_rule() == Rule::ordinal);
            Flush::Entry { numbered, words: parts.next().map_or(body, |token| body.part(&token)) }
        }
        Rule::part => Flush::Part(token.into_inner().next().map_or(body, |t| body.part(&t))),
        Rule::include => Flush::Include(token.into_inner().next().map_or(body, |t| body.part(&t))),
        Rule::set_break => Flush::Break,
        _ => Flush::Words,
    }
}

/// Lines of prose on their way to becoming a paragraph.
#[derive(Default)]
pub struct Gathered {
    text: String,
    span: Option<Span>,
    /// Where each line starts, in the text and in the source.
    starts: Vec<(usize, usize)>,
}

impl Gathered {
    /// Whether no line was taken yet.
    pub fn is_empty(&self) -> bool {
        self.span.is_none()
    }

    /// Takes one more line.
    pub fn push(&mut self, line: Piece<'_>) {
        if !self.is_empty() {
            self.text.push(' ');
        }
        self.starts.push((self.text.len(), line.start));
        self.text.push_str(line.text);
        self.span = Some(self.span.map_or(line.span(), |span| span.join(line.span())));
    }

    /// The byte the first of these lines starts at.
    pub fn start(&self) -> usize {
        self.span.map_or(0, |span| span.start)
    }

    /// The paragraph of these lines.
    pub fn into_paragraph(self) -> Paragraph {
        let span = self.span.unwrap_or_default();
        Paragraph { text: self.into_text(span.start).into(), span }
    }

    /// The words of these lines; the places in them count from a byte.
    pub fn into_text(self, from: usize) -> Vec<Inline> {
        let at = |offset: usize| {
            let line = self.starts.partition_point(|(start, _)| *start <= offset);
            let line = line.checked_sub(1).and_then(|line| self.starts.get(line));
            line.map_or(0, |(text, source)| (source + (offset - text)).saturating_sub(from))
        };
        prose::read_with_references(&self.text, &at)
    }
}
