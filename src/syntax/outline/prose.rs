//! Headings, and which lines are prose.

use super::cursor::Outline;
use super::stretch::{ProseLines, Thing};
use crate::score::BlockWord;
use crate::source::{Span, nearest, say};
use crate::syntax::flush::{Flush, classify};
use crate::syntax::grammar::Piece;
use crate::syntax::head::BlockHead;
use crate::syntax::heading::HeadingWords;
use crate::syntax::lines::Line;
use crate::syntax::tree::{Heading, Item};
use crate::syntax::{codes, prose, rows};

/// The white space that makes lines code, in columns (CommonMark, "Indented code blocks").
const CODE_INDENT: usize = 4;

impl<'a> Outline<'a> {
    pub(super) fn heading(
        &mut self,
        body: Piece<'a>,
        hashes: Piece<'a>,
        words: Piece<'a>,
    ) -> Thing<'a> {
        self.at += 1;
        let level = hashes.text.len();
        if words.text.is_empty() {
            self.diagnostics
                .error(body.span(), "this heading has no words")
                .code(codes::HEADING_EMPTY)
                .mend("write them after `#`, or take the line out");
            return Thing::Nothing;
        }
        if level > 2 {
            self.diagnostics
                .error(hashes.span(), "there are two sizes of heading")
                .code(codes::HEADING_LEVEL)
                .replace(hashes.span(), "##", "write `#` or `##`");
        } else if hashes.span().end() == words.start {
            self.diagnostics
                .error(hashes.span(), "a space is missing after this sign")
                .code(codes::HEADING_UNSPACED)
                .replace(
                    Span::new(words.start, words.start),
                    " ",
                    format!("write `{} {}` for a heading", hashes.text, say::shortened(words.text)),
                );
        }
        Thing::Item(self.named_heading(body, HeadingWords::read(words), level.clamp(1, 2) as u8))
    }

    /// A heading or a part of a line.
    pub(super) fn named_heading(
        &mut self,
        line: Piece<'a>,
        words: HeadingWords<'a>,
        level: u8,
    ) -> Item {
        words.report(&mut self.diagnostics);
        let text = prose::heading(words.title, &mut self.diagnostics).into();
        Item::Heading(Heading {
            level,
            text,
            name: words.name,
            end: line.span().end(),
            span: line.span(),
        })
    }

    /// The lines of a stretch of prose: up to a heading, a block or what else is no prose.
    pub(super) fn prose(&mut self) -> Thing<'a> {
        let mut lines = ProseLines::default();
        let mut under = Above::Nothing;
        let mut in_list = false;
        let first = self.at;
        while let Some(line) = self.line() {
            let Some(body) = line.body else {
                if line.is_blank() {
                    lines.text.push(line.prose());
                    under = Above::Blank;
                }
                self.at += 1;
                continue;
            };
            let read = classify(body);
            // What only looks like an indent is none.
            let indented = line.indented && (!line.oddly || rows::looks_like_row(body));
            let goes_on = if indented {
                goes_on_indented(line, body, under, in_list)
            } else {
                match &read {
                    Flush::Entry | Flush::Fence(_) => true,
                    Flush::Words => self.opening(self.at, body).is_none(),
                    Flush::Heading(..) | Flush::Part(_) | Flush::Include(_) | Flush::Break => false,
                }
            };
            // The line it begins with was found to be prose.
            if !goes_on && self.at > first {
                break;
            }
            if let Flush::Fence(sign) = read {
                self.code(sign, &mut lines);
            } else {
                if !indented {
                    in_list = matches!(read, Flush::Entry) || (in_list && under == Above::Words);
                    self.warn_of_lost_block(body);
                    if under != Above::Words {
                        self.warn_of_lost_include(body);
                    }
                }
                lines.text.push(line.prose());
                self.at += 1;
            }
            under = Above::Words;
        }
        Thing::Prose(lines)
    }

    /// Lines of code, from the line that opens them to the one that closes them.
    fn code(&mut self, sign: Piece<'a>, lines: &mut ProseLines) {
        let first = self.at;
        let mut closed = false;
        while let Some(line) = self.line().filter(|_| !closed) {
            closed = self.at > first && line.body.is_some_and(|body| closes(body.text, sign.text));
            // What is too long to be read is no code either.
            if !line.skipped {
                lines.text.push(line.whole());
            }
            lines.code.push(line.span);
            self.at += 1;
        }
        if !closed {
            self.diagnostics
                .warning(
                    sign.span(),
                    "nothing closes this code, and all that follows is part of it",
                )
                .code(codes::FENCE_UNCLOSED)
                .mend("write the same sign on a line of its own after it");
        }
    }

    /// Whether a line that is indented and begins something is code.
    pub(super) fn opens_code(line: &Line<'_>, body: Piece<'_>) -> bool {
        line.indent() >= CODE_INDENT && !rows::looks_like_row(body)
    }

    pub(super) fn stray_rows(&mut self, body: Piece<'a>) -> Thing<'a> {
        self.diagnostics
            .error(body.span(), "these indented lines belong to a block, and there is none above them")
            .code(codes::ROWS_STRAY)
            .mend("start a block over them, as `fill \"Gallop home\"`, or begin the lines at the left edge");
        while self.line().is_some_and(|line| line.body.is_none() || line.indented) {
            self.at += 1;
        }
        Thing::Nothing
    }

    /// A head with a title but no indented line after it is prose; most likely its rows are not
    /// indented.
    fn warn_of_lost_block(&mut self, body: Piece<'a>) {
        if !BlockWord::ALL.iter().any(|word| body.text.starts_with(word.as_str())) {
            return;
        }
        let head = BlockHead::read(body);
        if head.exact.is_some() && head.is_whole() && head.title.is_some() {
            self.diagnostics
                .warning(head.span, "this line is printed as prose, for no indented row follows it")
                .code(codes::BLOCK_LOST)
                .mend("indent the rows of a block by two spaces");
        }
    }

    /// Two words that all but include a file are most likely meant to.
    fn warn_of_lost_include(&mut self, body: Piece<'a>) {
        let mut words = body.text.split_whitespace();
        let (Some(first), Some(name), None) = (words.next(), words.next(), words.next()) else {
            return;
        };
        let ends = name.to_ascii_lowercase().ends_with(".flam");
        let (text, mend) = if first == "include" && !ends {
            let text = format!("include {name}.flam");
            let mend = format!("the name of a file to include ends in `.flam`, as `{text}`");
            (text, mend)
        } else if ends && nearest(first, ["include"]).is_some() {
            let text = format!("include {name}");
            let mend = format!("write `{text}` to have that file here");
            (text, mend)
        } else {
            return;
        };
        self.diagnostics
            .warning(body.span(), "this line is printed as prose")
            .code(codes::INCLUDE_LOST)
            .replace(body.span(), text, mend);
    }
}

/// What stands over a line of prose.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Above {
    Nothing,
    Blank,
    Words,
}

/// Whether an indented line is part of the prose over it.
fn goes_on_indented(line: &Line<'_>, body: Piece<'_>, under: Above, in_list: bool) -> bool {
    match under {
        Above::Words => in_list || !rows::looks_like_row(body),
        Above::Blank if in_list => rows::likeness(body) == rows::Likeness::None,
        Above::Blank | Above::Nothing => Outline::opens_code(line, body),
    }
}

/// Whether a line closes the code that a sign opened (CommonMark, "Fenced code blocks").
fn closes(body: &str, sign: &str) -> bool {
    body.starts_with(sign)
        && sign.chars().next().is_some_and(|c| body.trim_end_matches(c).is_empty())
}
