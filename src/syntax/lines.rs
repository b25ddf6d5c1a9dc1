//! A file taken apart into lines.

use super::codes;
use super::grammar::{Piece, Rule};
use super::limits::LINE_CHARACTERS;
use super::tree::Trivia;
use crate::source::{Diagnostics, FileId, Source, Span};

/// One line, without its line end.
#[derive(Clone, Copy, Debug)]
pub struct Line<'a> {
    /// The whole line.
    pub span: Span,
    /// Whether white space stands before its body.
    pub indented: bool,
    /// What it says, without the white space round it and without its comment.
    pub body: Option<Piece<'a>>,
    /// Its comment, from `//`.
    pub comment: Option<Span>,
    /// Too long to be read; neither blank nor anything else.
    pub skipped: bool,
}

impl Line<'_> {
    /// Nothing but white space.
    pub fn is_blank(&self) -> bool {
        self.body.is_none() && self.comment.is_none() && !self.skipped
    }
}

/// The lines of a file; line ends are `\n` or `\r\n`, and a byte order mark at the start is passed
/// over. Lines that are too long and characters that cannot be seen are faults.
pub fn split<'a>(source: &'a Source, file: FileId, diagnostics: &mut Diagnostics) -> Vec<Line<'a>> {
    let text = source.text_of(file);
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut start = source.span_of(file).end - bare.len();
    let mut lines = Vec::new();
    for whole in bare.split_inclusive('\n') {
        let content = whole.strip_suffix('\n').unwrap_or(whole);
        let content = content.strip_suffix('\r').unwrap_or(content);
        lines.push(line(Piece { text: content, start }, lines.len() + 1, diagnostics));
        start += whole.len();
    }
    lines
}

/// The blank lines and comments among lines.
pub fn trivia(lines: &[Line<'_>]) -> Vec<Trivia> {
    lines
        .iter()
        .filter_map(|line| match line.comment {
            Some(span) => Some(Trivia { span }),
            None if line.is_blank() => Some(Trivia { span: line.span }),
            None => None,
        })
        .collect()
}

fn line<'a>(piece: Piece<'a>, number: usize, diagnostics: &mut Diagnostics) -> Line<'a> {
    let mut line = Line {
        span: piece.span(),
        indented: false,
        body: None,
        comment: None,
        skipped: is_too_long(piece.text),
    };
    if line.skipped {
        diagnostics
            .error(
                Span::new(piece.start, piece.start + head(piece.text).len()),
                format!("line {number} is longer than 100,000 characters"),
            )
            .code(codes::LINE_TOO_LONG)
            .mend("break it into shorter lines; a block goes on after a line of `--`");
        return line;
    }
    report_unseen(piece, diagnostics);
    for token in piece.tokens(Rule::line) {
        match token.as_rule() {
            Rule::indent => line.indented = !token.as_str().is_empty(),
            Rule::body => line.body = Some(piece.part(&token)),
            Rule::comment => line.comment = Some(piece.span_of(&token)),
            _ => {}
        }
    }
    line
}

fn is_too_long(text: &str) -> bool {
    text.len() > LINE_CHARACTERS && text.chars().nth(LINE_CHARACTERS).is_some()
}

/// The first characters of a line, enough to know it by.
fn head(text: &str) -> &str {
    text.char_indices().nth(20).map_or(text, |(at, _)| &text[..at])
}

fn report_unseen(piece: Piece<'_>, diagnostics: &mut Diagnostics) {
    let Some(from) = piece.text.find(is_unseen) else { return };
    let rest = &piece.text[from..];
    let to = from + rest.find(|c| !is_unseen(c)).unwrap_or(rest.len());
    let code = rest.chars().next().map_or(0, u32::from);
    let span = Span::new(piece.start + from, piece.start + to);
    diagnostics
        .error(span, format!("a control character that cannot be seen stands here (U+{code:04X})"))
        .code(codes::CHARACTER_UNSEEN)
        .replace(span, "", "delete it");
}

/// Control characters other than the tab.
pub fn is_unseen(c: char) -> bool {
    c.is_control() && c != '\t'
}
