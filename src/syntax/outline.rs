//! A file from its lines: header, headings, prose and blocks.

use super::codes;
use super::flush::{Flush, Gathered, classify};
use super::grammar::{Piece, Rule};
use super::head::Head;
use super::lines::Line;
use super::prose;
use super::rows;
use super::rows::Rows;
use super::sticks;
use super::tree::{Block, Document, Heading, Item, List, RowSet, Word};
use crate::score::BlockWord;
use crate::source::{Diagnostics, Span, Spanned, nearest};

/// Builds the tree of a file.
pub struct Outline<'a, 'd> {
    lines: &'a [Line<'a>],
    at: usize,
    rows: Rows,
    document: Document,
    diagnostics: &'d mut Diagnostics,
}

/// A block about to be read.
struct Opening<'a> {
    head: Head<'a>,
    word: BlockWord,
}

impl<'a, 'd> Outline<'a, 'd> {
    /// An outline of these lines.
    pub fn new(lines: &'a [Line<'a>], diagnostics: &'d mut Diagnostics) -> Self {
        let mut outline = Self {
            lines,
            at: 0,
            rows: Rows { instruments: Vec::new() },
            document: Document::default(),
            diagnostics,
        };
        outline.rows.instruments = outline.kit_names();
        outline
    }

    /// Reads all lines.
    pub fn read(mut self) -> Document {
        self.header();
        while let Some(line) = self.line() {
            match (line.body, line.indented) {
                (None, _) => self.at += 1,
                (Some(_), true) => self.stray_rows(),
                (Some(body), false) => self.flush(body),
            }
        }
        self.document
    }

    fn line(&self) -> Option<&'a Line<'a>> {
        self.lines.get(self.at)
    }

    /// Names of instruments, so that a row called after one is not taken for a misspelt word.
    fn kit_names(&self) -> Vec<String> {
        let mut names = Vec::new();
        let mut in_kit = false;
        for line in self.lines {
            let Some(body) = line.body else { continue };
            if !line.indented {
                in_kit = Head::read(body).exact == Some(BlockWord::Kit);
            } else if in_kit
                && let rows::Line::Row(_, Some(content)) = rows::line(body, Some(BlockWord::Kit))
                && let Some(name) = content.text.split([',', ' ', '\t']).next()
            {
                names.push(name.to_owned());
            }
        }
        names
    }

    // The header.

    fn header(&mut self) {
        let Some(first) = self.lines.iter().position(|line| line.body.is_some()) else { return };
        if self.header_setting(first).is_none() {
            return;
        }
        let end = first
            + self.lines[first..]
                .iter()
                .position(Line::is_blank)
                .unwrap_or(self.lines.len() - first);
        let last = (first..end).rfind(|at| self.header_setting(*at).is_some()).unwrap_or(first);
        for at in first..end {
            self.at = at;
            let Some(body) = self.lines[at].body else { continue };
            if let Some((key, value)) = self.header_setting(at) {
                self.document.header.extend(rows::setting(key, value, self.diagnostics));
            } else if at < last {
                let fault = self
                    .diagnostics
                    .error(body.span(), "this line of the header has no key and colon")
                    .code(codes::HEADER_LINE_UNKNOWN);
                match body.text.split_once([' ', '\t']) {
                    Some((key, value)) if !self.lines[at].indented && is_key(key) => {
                        let value = value.trim_start();
                        let mend = format!("write `{key}: {}`", shortened(value));
                        fault.replace(body.span(), format!("{key}: {value}"), mend);
                    }
                    _ => fault.mend("write a key, a colon and its value, as `tempo: 92`"),
                }
            } else {
                let start = self.lines[at].span.start;
                self.diagnostics
                    .error(body.span(), "the header goes on to the first blank line, and this line is no part of it")
                    .code(codes::HEADER_UNENDED)
                    .replace(Span::new(start, start), "\n", "put a blank line before it");
                return;
            }
        }
        self.at = end;
    }

    fn header_setting(&self, at: usize) -> Option<(Piece<'a>, Piece<'a>)> {
        let line = self.lines.get(at).filter(|line| !line.indented)?;
        let body = line.body?;
        let token = body.tokens(Rule::header_line).find(|t| t.as_rule() == Rule::setting)?;
        Some(rows::setting_parts(body, token))
    }

    // Lines at the left edge.

    fn flush(&mut self, body: Piece<'a>) {
        match classify(body) {
            Flush::Heading(hashes, words) => self.heading(body, hashes, words),
            Flush::Entry { numbered, .. } => self.list(numbered),
            Flush::Part(words) => {
                let text = prose::read(words.text.trim());
                self.document.items.push(Item::Heading(Heading {
                    level: 0,
                    text,
                    span: body.span(),
                }));
                self.at += 1;
            }
            Flush::Include(name) => {
                let name = Word::new(name.text.to_owned(), name.span());
                self.document.items.push(Item::Include(name));
                self.at += 1;
            }
            Flush::Break => {
                self.diagnostics
                    .error(body.span(), "`--` goes on with a block, and there is no block above it")
                    .code(codes::BREAK_STRAY)
                    .replace(body.span(), "", "take the line out");
                self.at += 1;
            }
            Flush::Words => match self.opening(self.at, body) {
                Some(opening) => self.block(opening),
                None => self.paragraph(),
            },
        }
    }

    fn heading(&mut self, body: Piece<'a>, hashes: Piece<'a>, words: Piece<'a>) {
        self.at += 1;
        let level = hashes.text.len();
        if words.text.is_empty() {
            self.diagnostics
                .error(body.span(), "this heading has no words")
                .code(codes::HEADING_EMPTY)
                .mend("write them after `#`, or take the line out");
            return;
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
                    format!("write `{} {}` for a heading", hashes.text, shortened(words.text)),
                );
        }
        self.document.items.push(Item::Heading(Heading {
            level: level.clamp(1, 2) as u8,
            text: prose::read(words.text),
            span: body.span(),
        }));
    }

    fn paragraph(&mut self) {
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
        self.document.items.push(Item::Paragraph(gathered.into_paragraph()));
    }

    fn list(&mut self, numbered: bool) {
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
        let entries = entries.into_iter().map(Gathered::into_paragraph).collect();
        self.document.items.push(Item::List(List { numbered, entries }));
    }

    fn stray_rows(&mut self) {
        if let Some(body) = self.line().and_then(|line| line.body) {
            self.diagnostics
                .error(body.span(), "these indented lines belong to a block, and there is none above them")
                .code(codes::ROWS_STRAY)
                .mend("start a block over them, as `fill \"Gallop home\"`, or begin the lines at the left edge");
        }
        while self.line().is_some_and(|line| line.body.is_none() || line.indented) {
            self.at += 1;
        }
    }

    // Blocks.

    /// The next line with a body, where it is indented.
    fn follower(&self, at: usize) -> Option<Piece<'a>> {
        let line = self.lines.get(at + 1..)?.iter().find(|line| line.body.is_some())?;
        line.body.filter(|_| line.indented)
    }

    /// Decides whether a line at the left edge opens a block. An indented line must follow. Then
    /// it does if it starts with a block word and has a block's shape; and where the shape is
    /// wrong or the word misspelt, if a title in quotes or the line that follows shows that a
    /// block was meant.
    fn opening(&self, at: usize, body: Piece<'a>) -> Option<Opening<'a>> {
        let follower = self.follower(at)?;
        let head = Head::read(body);
        let meant = head.title.is_some() || rows::looks_like_row(follower);
        let word = match head.exact {
            Some(word) if head.is_whole() || meant => word,
            Some(_) => return None,
            None if head.is_whole() && head.title.is_some() => {
                head.meant().unwrap_or(BlockWord::Exercise)
            }
            None if meant => head.meant()?,
            None => return None,
        };
        Some(Opening { head, word })
    }

    /// A head with a title but no indented line after it is prose; most likely its rows are not
    /// indented.
    fn warn_of_lost_block(&mut self, body: Piece<'a>) {
        let head = Head::read(body);
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

    /// A line at the left edge right under the rows of a block is prose, even where it reads like
    /// a row.
    fn warn_of_lost_row(&mut self, body: Piece<'a>) {
        let close = self.at.checked_sub(1).and_then(|above| self.lines.get(above));
        if close.is_some_and(|above| above.body.is_some()) && rows::is_surely_row(body) {
            self.diagnostics
                .warning(body.span(), "this line is printed as prose, for it is not indented")
                .code(codes::ROW_LOST)
                .replace(
                    Span::new(body.start, body.start),
                    "  ",
                    "indent it by two spaces if it is a row of the block above it",
                );
        }
    }

    fn block(&mut self, opening: Opening<'a>) {
        let Opening { head, word } = opening;
        if head.exact.is_none() {
            let fault = self
                .diagnostics
                .error(head.word.span(), format!("`{}` is no kind of block", head.word.text))
                .code(codes::BLOCK_UNKNOWN);
            match head.meant().map(BlockWord::as_str) {
                Some(meant) => {
                    fault.replace(head.word.span(), meant, format!("did you mean `{meant}`?"));
                }
                None => fault.mend(format!(
                    "a block starts with one of: {}",
                    BlockWord::ALL.map(BlockWord::as_str).join(", ")
                )),
            }
        }
        head.report(self.diagnostics);
        self.at += 1;
        let sets = self.sets(word);
        self.document.items.push(Item::Block(Block {
            word: Spanned::new(word, head.word.span()),
            name: head.name,
            parent: head.parent,
            title: head.title,
            sets,
            span: head.span,
        }));
    }

    fn sets(&mut self, word: BlockWord) -> Vec<RowSet> {
        let mut sets = vec![RowSet::default()];
        let mut last_break: Option<Span> = None;
        let mut any_row = false;
        while let Some(line) = self.line() {
            let Some(body) = line.body else {
                self.at += 1;
                continue;
            };
            let read = match rows::line(body, Some(word)) {
                rows::Line::Break if word.is_made() => {
                    self.diagnostics
                        .error(body.span(), format!("a {} does not go on", word.as_str()))
                        .code(codes::BREAK_IN_MADE)
                        .replace(body.span(), "", "take the line out");
                    self.at += 1;
                    continue;
                }
                rows::Line::Break => {
                    if any_row {
                        sets.push(RowSet::default());
                    } else {
                        self.diagnostics
                            .error(
                                body.span(),
                                "`--` goes on with a block, and no rows stand before it",
                            )
                            .code(codes::BREAK_EARLY)
                            .replace(body.span(), "", "take the line out");
                    }
                    last_break = Some(body.span());
                    any_row = false;
                    self.at += 1;
                    continue;
                }
                _ if !line.indented => {
                    self.warn_of_lost_row(body);
                    break;
                }
                read => read,
            };
            let Some(set) = sets.last_mut() else { break };
            match read {
                rows::Line::Setting(key, value) if word.is_made() => {
                    set.settings.extend(rows::setting(key, value, self.diagnostics));
                }
                // A block that is made has no rows: what is written without a colon is a key too.
                rows::Line::Row(key, value) if word.is_made() => {
                    let end = Piece { text: "", start: key.start + key.text.len() };
                    let value = value.unwrap_or(end);
                    set.settings.extend(rows::setting(key, value, self.diagnostics));
                }
                // `stick natural`: a word in place of letters is a rule that makes them.
                rows::Line::Row(key, Some(value)) | rows::Line::Setting(key, value)
                    if key.text == "stick" && sticks::is_rule(value.text) =>
                {
                    set.settings.extend(rows::setting(key, value, self.diagnostics));
                }
                rows::Line::Setting(key, value) if rows::ROWS.contains(&key.text) => {
                    any_row = true;
                    let colon = Span::new(key.span().end, key.span().end + 1);
                    self.diagnostics
                        .error(colon, format!("no colon stands after the row name `{}`", key.text))
                        .code(codes::ROW_COLON)
                        .replace(colon, " ", "put a space in its place");
                    set.rows.extend(self.rows.row(word, key, Some(value), self.diagnostics));
                }
                rows::Line::Setting(key, value) => {
                    set.settings.extend(rows::setting(key, value, self.diagnostics));
                }
                rows::Line::Row(name, content) => {
                    any_row = true;
                    set.rows.extend(self.rows.row(word, name, content, self.diagnostics));
                }
                rows::Line::Break => {}
            }
            self.at += 1;
        }
        if let Some(span) = last_break.filter(|_| !any_row && sets.len() > 1) {
            self.diagnostics
                .error(span, "no rows follow this `--`")
                .code(codes::BREAK_LATE)
                .replace(span, "", "write the rows that go on after it, or take the line out");
        }
        sets
    }
}

fn is_key(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_alphabetic())
        && word.chars().all(|c| c.is_ascii_alphabetic() || c == '-')
}

fn shortened(text: &str) -> String {
    match text.char_indices().nth(40) {
        Some((at, _)) => format!("{} ...", text[..at].trim_end()),
        None => text.to_owned(),
    }
}
