//! Lines at the left edge: headings, lists and prose.

use super::cursor::Outline;
use super::stretch::Thing;
use crate::source::{Span, nearest, say};
use crate::syntax::flush::{Flush, Gathered, classify};
use crate::syntax::grammar::Piece;
use crate::syntax::head::BlockHead;
use crate::syntax::tree::{Heading, Item, List};
use crate::syntax::{codes, prose, rows};

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
        } else if hashes.span().end == words.start {
            self.diagnostics
                .error(hashes.span(), "a space is missing after this sign")
                .code(codes::HEADING_UNSPACED)
                .replace(
                    Span::new(words.start, words.start),
                    " ",
                    format!("write `{} {}` for a heading", hashes.text, say::shortened(words.text)),
                );
        }
        Thing::Item(Item::Heading(Heading {
            level: level.clamp(1, 2) as u8,
            text: prose::read(words.text).into(),
            span: body.span(),
        }))
    }

    pub(super) fn paragraph(&mut self) -> Thing<'a> {
        let mut gathered = Gathered::default();
        while let Some(line) = self.line() {
            let Some(body) = line.body else {
                if line.is_blank() {
                    break;
                }
                self.at += 1;
                continue;
            };
            if !gathered.is_empty() {
                let goes_on = if line.indented {
                    !rows::looks_like_row(body)
                } else {
                    matches!(classify(body), Flush::Words) && self.opening(self.at, body).is_none()
                };
                if !goes_on {
                    break;
                }
            }
            if !line.indented {
                self.warn_of_lost_block(body);
            }
            if gathered.is_empty() {
                self.warn_of_lost_include(body);
            }
            gathered.push(body);
            self.at += 1;
        }
        Thing::Item(Item::Paragraph(gathered.into_paragraph()))
    }

    pub(super) fn list(&mut self, numbered: bool) -> Thing<'a> {
        let mut entries: Vec<Gathered> = Vec::new();
        while let Some(line) = self.line() {
            let Some(body) = line.body else {
                if line.is_blank() {
                    break;
                }
                self.at += 1;
                continue;
            };
            if line.indented {
                let Some(entry) = entries.last_mut() else { break };
                entry.push(body);
            } else {
                match classify(body) {
                    Flush::Entry { numbered: same, words } if same == numbered => {
                        let mut entry = Gathered::default();
                        entry.push(words);
                        entries.push(entry);
                    }
                    _ => break,
                }
            }
            self.at += 1;
        }
        let at = entries.first().map_or(0, Gathered::start);
        let entries = entries.into_iter().map(|entry| entry.into_text(at)).collect();
        Thing::Item(Item::List(List { numbered, entries, at }))
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
