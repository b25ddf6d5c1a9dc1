//! The lines of a file, one thing after another.

use super::cursor::Outline;
use super::stretch::{OutlinedStretch, Thing};
use crate::source::Span;
use crate::syntax::flush::{Flush, classify};
use crate::syntax::grammar::Piece;
use crate::syntax::lines::Line;
use crate::syntax::tree::{Item, Setting, Word};
use crate::syntax::{codes, lines, rows};

/// Cuts a whole file into stretches; the first holds the header, and may hold nothing.
pub fn outline<'a>(lines: &'a [Line<'a>]) -> Vec<OutlinedStretch<'a>> {
    let mut outline = Outline::new(lines);
    outline.header();
    let header = std::mem::take(&mut outline.settings);
    let mut stretches = vec![outline.stretch(0, (header, Thing::Nothing))];
    stretches.extend(outline.body());
    stretches
}

/// Cuts lines that follow a header, and begin something, into stretches.
pub fn outline_body<'a>(lines: &'a [Line<'a>]) -> Vec<OutlinedStretch<'a>> {
    Outline::new(lines).body()
}

/// The lines of code between fences in a stretch of prose, wherever in it they stand.
pub(crate) fn lines_of_code(prose: Piece<'_>) -> Vec<Span> {
    let lines = lines::split(prose);
    let stretches = outline_body(&lines);
    stretches.iter().filter_map(OutlinedStretch::code).flatten().copied().collect()
}

impl<'a> Outline<'a> {
    fn body(mut self) -> Vec<OutlinedStretch<'a>> {
        let mut stretches = Vec::new();
        while let Some(line) = self.line() {
            let first = self.at;
            let thing = match (line.body, line.indented) {
                (None, _) => Thing::Nothing,
                // What only looks like the left edge of prose is its left edge.
                (Some(body), true) if line.oddly && !rows::looks_like_row(body) => self.prose(),
                (Some(body), true) if Self::opens_code(line, body) => self.prose(),
                (Some(body), true) => self.stray_rows(body),
                (Some(body), false) => self.flush(body),
            };
            stretches.push(self.stretch(first, (Vec::new(), thing)));
        }
        stretches
    }

    /// Closes the stretch that began with a line; lines without a body belong to what stands above them.
    fn stretch(&mut self, first: usize, held: (Vec<Setting>, Thing<'a>)) -> OutlinedStretch<'a> {
        while self.line().is_some_and(|line| line.body.is_none()) {
            self.at += 1;
        }
        let lines = self.lines.get(first..self.at).unwrap_or_default();
        let start = self.lines.get(first).map_or(0, |line| line.span.start());
        OutlinedStretch::new((start, lines), held, std::mem::take(&mut self.diagnostics))
    }

    fn flush(&mut self, body: Piece<'a>) -> Thing<'a> {
        match classify(body) {
            Flush::Heading(hashes, words) => self.heading(body, hashes, words),
            Flush::Entry | Flush::Fence(_) => self.prose(),
            Flush::Part(words) => {
                self.at += 1;
                Thing::Item(self.named_heading(body, words, 0))
            }
            Flush::Include(name) => {
                self.at += 1;
                Thing::Item(Item::Include(Word::new(name.text.to_owned(), name.span())))
            }
            Flush::Break => {
                self.diagnostics
                    .error(body.span(), "`--` goes on with a block, and there is no block above it")
                    .code(codes::BREAK_STRAY)
                    .replace(body.span(), "", "take the line out");
                self.at += 1;
                Thing::Nothing
            }
            Flush::Words => match self.opening(self.at, body) {
                Some(opening) => self.block(opening),
                None => self.prose(),
            },
        }
    }
}
