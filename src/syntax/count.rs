//! Counts.

use super::codes;
use super::grammar::{Piece, Rule};
use super::limits::GROUP_CELLS;
use super::row::Reader;
use super::tree::{CountGroup, Entry, Word};
use crate::source::Span;

/// Reads the content of a `count` row.
pub fn read(reader: &mut Reader<'_>, piece: Piece<'_>) -> Vec<Entry<CountGroup>> {
    let mut entries = Vec::new();
    let mut open: Option<OpenDivision> = None;
    let mut tokens = piece.tokens(Rule::count).peekable();
    while let Some(token) = tokens.next() {
        let mut span = piece.span_of(&token);
        match token.as_rule() {
            Rule::count_word => {
                let word = Word::new(token.as_str().to_owned(), span);
                match &mut open {
                    Some(division) => division.push(reader, word),
                    None => entries.push(Entry::Group(CountGroup::Word(word))),
                }
            }
            Rule::division_open => match &mut open {
                Some(division) => division.nested(reader, span),
                None => open = Some(OpenDivision::new(span)),
            },
            Rule::division_close => match open.take() {
                Some(mut division) if division.nested > 0 => {
                    division.nested -= 1;
                    open = Some(division);
                }
                Some(division) => entries.extend(division.close(reader, span)),
                None => {
                    reader
                        .fault(codes::DIVISION_UNOPENED, span, "this `)` has no `(` before it")
                        .mend("put the words that share a beat in brackets, as `(1 2 3 4 5)`");
                }
            },
            Rule::bar => {
                if let Some(division) = open.take() {
                    entries.extend(division.unclosed(reader));
                }
                entries.extend(reader.bar(piece, token).map(Entry::Bar));
            }
            Rule::same_bar => {
                if let Some(division) = open.take() {
                    entries.extend(division.unclosed(reader));
                }
                entries.push(Entry::SameBar(reader.same_bar(token, span)));
            }
            _ => {
                while let Some(next) = tokens.next_if(|next| {
                    next.as_rule() == Rule::unknown
                        && next.as_span().start() + piece.start == span.end()
                }) {
                    span = span.join(piece.span_of(&next));
                }
                square_bracket(reader, piece, span);
            }
        }
    }
    if let Some(division) = open {
        entries.extend(division.unclosed(reader));
    }
    entries
}

/// Reports square brackets, which join cells and not counts.
fn square_bracket(reader: &mut Reader<'_>, piece: Piece<'_>, span: Span) {
    let round = piece.within(span).replace('[', "(").replace(']', ")");
    reader.fault(codes::COUNT_BRACKET, span, "square brackets have no place among counts").replace(
        span,
        round,
        "put the words that share a beat in round brackets, as `(1 2 3 4 5)`",
    );
}

/// A bracket while it is read.
struct OpenDivision {
    open: Span,
    words: Vec<Word>,
    nested: usize,
    reported_nesting: bool,
    reported_length: bool,
}

impl OpenDivision {
    fn new(open: Span) -> Self {
        Self { open, words: Vec::new(), nested: 0, reported_nesting: false, reported_length: false }
    }

    fn push(&mut self, reader: &mut Reader<'_>, word: Word) {
        if self.words.len() < GROUP_CELLS {
            self.words.push(word);
        } else if !self.reported_length {
            self.reported_length = true;
            reader
                .fault(codes::DIVISION_TOO_LONG, word.span, "a bracket holds at most 32 words")
                .mend("close it where the beat ends");
        }
    }

    fn nested(&mut self, reader: &mut Reader<'_>, span: Span) {
        self.nested += 1;
        if !self.reported_nesting {
            self.reported_nesting = true;
            reader
                .fault(codes::DIVISION_NESTED, span, "brackets in a count do not nest")
                .mend("close the first bracket before this one");
        }
    }

    fn close(self, reader: &mut Reader<'_>, end: Span) -> Option<Entry<CountGroup>> {
        let span = self.open.join(end);
        if self.words.is_empty() {
            reader
                .fault(codes::DIVISION_EMPTY, span, "these brackets are empty")
                .mend("write the words that share the beat, as `(1 2 3 4 5)`");
            return None;
        }
        Some(Entry::Group(CountGroup::Division { words: self.words, span }))
    }

    fn unclosed(self, reader: &mut Reader<'_>) -> Option<Entry<CountGroup>> {
        reader
            .fault(codes::DIVISION_UNCLOSED, self.open, "this bracket is not closed in its bar")
            .mend("write `)` where the beat ends");
        let span = self.words.last().map(|word| self.open.join(word.span))?;
        Some(Entry::Group(CountGroup::Division { words: self.words, span }))
    }
}
