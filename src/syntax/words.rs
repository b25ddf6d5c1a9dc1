//! Rows of words: `dyn`, `say` and `mark`.

use super::codes;
use super::grammar::{Piece, Rule, Token};
use super::limits::SPLIT_CELLS;
use super::row::Reader;
use super::splits::{SplitOf, Splits};
use super::tree::{Entry, QuotableWord, Spread, Word, WordCell, WordGroup};
use crate::score::WordsRow;
use crate::source::{Span, Spanned};

/// Reads the content of a row of words under its own entry of the grammar.
pub fn read(reader: &mut Reader<'_>, piece: Piece<'_>, row: WordsRow) -> Vec<Entry<WordGroup>> {
    let entry = match row {
        WordsRow::Dyn => Rule::dyn_words,
        WordsRow::Say => Rule::say_words,
        WordsRow::Mark | WordsRow::Cue => Rule::mark_words,
    };
    let mut words = Words { piece, entries: Vec::new(), open: None, end: None };
    for token in piece.tokens(entry) {
        words.token(reader, token);
    }
    words.end_split(reader);
    words.entries
}

/// A row of words while it is read.
struct Words<'a> {
    piece: Piece<'a>,
    entries: Vec<Entry<WordGroup>>,
    open: Option<OpenSplit>,
    /// Where the group or the outermost bracket before ends.
    end: Option<usize>,
}

/// A bracket that is not closed yet, and what stands in it.
struct OpenSplit {
    open: Span,
    cells: Splits<WordCell>,
    /// The end of what was read of it.
    end: Span,
}

impl Words<'_> {
    fn token(&mut self, reader: &mut Reader<'_>, token: Token<'_>) {
        let span = self.piece.span_of(&token);
        match token.as_rule() {
            Rule::bar => {
                self.end_split(reader);
                self.entries.extend(reader.bar(self.piece, token).map(Entry::Bar));
            }
            Rule::same_bar => {
                self.end_split(reader);
                self.entries.push(Entry::SameBar(reader.same_bar(token, span)));
            }
            Rule::split_open => {
                self.set_apart(reader, span);
                let split = self.open.get_or_insert_with(|| OpenSplit {
                    open: span,
                    cells: Splits::new(SplitOf::Words, SPLIT_CELLS),
                    end: span,
                });
                split.cells.open(reader, span);
            }
            Rule::split_end => self.split_end(reader, token, span),
            _ => self.group(reader, token, span),
        }
    }

    /// Reports what stands right behind a group or a bracket.
    fn set_apart(&mut self, reader: &mut Reader<'_>, span: Span) {
        if self.end.take() == Some(span.start()) {
            unspaced(reader, span);
        }
    }

    fn split_end(&mut self, reader: &mut Reader<'_>, token: Token<'_>, span: Span) {
        let mut inner = token.into_inner();
        let close = inner.next().map_or(span, |close| self.piece.span_of(&close));
        let spread = inner.next().and_then(|last| last.into_inner().next());
        let spread = spread.and_then(|spread| reader.spread(self.piece, spread));
        let split = |cells: Vec<WordCell>, _: Span| WordCell::Split(cells);
        let Some(mut open) = self.open.take() else {
            Splits::new(SplitOf::Words, SPLIT_CELLS).close(reader, close, split);
            return;
        };
        open.cells.close(reader, close, split);
        open.end = span;
        if open.cells.is_flat() {
            self.finish(reader, open, spread);
            self.end = Some(span.end());
            return;
        }
        if let Some(spread) = spread {
            reader
                .fault(codes::SPREAD_INSIDE, spread.span, "a spread stands at the end of its group")
                .mend("write it after the bracket that closes the group");
        }
        self.open = Some(open);
    }

    /// A bracket that a barline or the end of the row cuts short.
    fn end_split(&mut self, reader: &mut Reader<'_>) {
        if let Some(open) = self.open.take() {
            self.finish(reader, open, None);
        }
        self.end = None;
    }

    fn finish(
        &mut self,
        reader: &mut Reader<'_>,
        open: OpenSplit,
        spread: Option<Spanned<Spread>>,
    ) {
        let span = open.open.join(open.end);
        let cells = open.cells.finish(reader, |cells, _| WordCell::Split(cells));
        let group = |cell| Entry::Group(WordGroup { cell, spread, span });
        self.entries.extend(cells.into_iter().next().map(group));
    }

    fn group(&mut self, reader: &mut Reader<'_>, token: Token<'_>, span: Span) {
        self.set_apart(reader, span);
        let (words, spread) = group(reader, self.piece, token);
        match &mut self.open {
            Some(open) => {
                if let Some(spread) = spread {
                    reader
                        .fault(
                            codes::SPREAD_INSIDE,
                            spread.span,
                            "a spread stands at the end of its group",
                        )
                        .mend("write it after the bracket that closes the group");
                }
                open.end = span;
                if !words.is_empty() {
                    open.cells.push(reader, WordCell::Words(words), span);
                }
            }
            None if words.is_empty() => {}
            None => {
                let cell = WordCell::Words(words);
                self.entries.push(Entry::Group(WordGroup { cell, spread, span }));
            }
        }
        self.end = Some(span.end());
    }
}

fn unspaced(reader: &mut Reader<'_>, at: Span) {
    reader.fault(codes::WORDS_UNSPACED, at, "a space is missing before this").replace(
        Span::new(at.start(), at.start()),
        " ",
        "put a space, or take the phrase whole into one pair of quotes",
    );
}

/// The words of a group, joined by `+` where there are several, and its spread.
fn group(
    reader: &mut Reader<'_>,
    piece: Piece<'_>,
    token: Token<'_>,
) -> (Vec<QuotableWord>, Option<Spanned<Spread>>) {
    let span = piece.span_of(&token);
    let mut parts: Vec<QuotableWord> = Vec::new();
    let mut spread = None;
    let mut joined = true;
    for token in token.into_inner() {
        let at = piece.span_of(&token);
        match token.as_rule() {
            Rule::join => {
                if joined {
                    join_alone(reader, at);
                }
                joined = true;
                continue;
            }
            Rule::last_spread => {
                spread = token.into_inner().next().and_then(|inner| reader.spread(piece, inner));
                if parts.is_empty() {
                    reader
                        .fault(codes::SPREAD_ALONE, at, "there is no word before this spread")
                        .mend("write it right after its word, as `<:2`");
                }
                continue;
            }
            _ if !joined => unspaced(reader, at),
            _ => {}
        }
        joined = false;
        parts.extend(part(reader, piece, token));
    }
    if joined && !parts.is_empty() {
        join_alone(reader, span);
    }
    (parts, spread)
}

fn join_alone(reader: &mut Reader<'_>, span: Span) {
    reader
        .fault(codes::JOIN_ALONE, span, "`+` has no word on both its sides")
        .mend("write what shares a place as `A+\"softly\"` or `p+<`");
}

fn part(reader: &mut Reader<'_>, piece: Piece<'_>, token: Token<'_>) -> Option<QuotableWord> {
    let span = piece.span_of(&token);
    match token.as_rule() {
        Rule::quoted => {
            let text = token.into_inner().as_str();
            if text.trim().is_empty() {
                reader.fault(codes::QUOTES_EMPTY, span, "these quotes are empty").replace(
                    span,
                    ".",
                    "write `.` to pass a beat over",
                );
                return None;
            }
            Some(QuotableWord { word: Word::new(text.to_owned(), span), quoted: true })
        }
        Rule::unknown_open => {
            let text = token.as_str();
            let phrase = text.find('|').map_or(text, |bar| &text[..bar]);
            let phrase = phrase.trim_end_matches(|c: char| c == ':' || c.is_whitespace());
            let mend = "close them on the same line";
            let fault = reader.fault(codes::QUOTES_UNCLOSED, span, "these quotes are not closed");
            if phrase.chars().nth(1).is_some() {
                let end = span.start() + phrase.len();
                fault.replace(Span::new(end, end), "\"", mend);
            } else {
                fault.mend(mend);
            }
            None
        }
        _ => {
            let word = Spanned::new(token.as_str().to_owned(), span);
            Some(QuotableWord { word, quoted: false })
        }
    }
}
