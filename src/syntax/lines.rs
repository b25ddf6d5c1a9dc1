//! A file taken apart into lines.

use super::codes;
use super::grammar::{Piece, Rule};
use super::limits::LINE_CHARACTERS;
use crate::source::{Diagnostics, FileId, Source, Span};

/// One line, without its line end.
#[derive(Clone, Copy, Debug)]
pub struct Line<'a> {
    /// The whole line.
    pub span: Span,
    text: &'a str,
    /// Whether white space stands before its body.
    pub indented: bool,
    /// Whether some of it is no plain space and no tab.
    pub oddly: bool,
    /// What it says, without the white space round it and without its comment.
    pub body: Option<Piece<'a>>,
    /// Its comment, from `//`.
    pub comment: Option<Span>,
    /// Too long to be read; neither blank nor anything else.
    pub skipped: bool,
}

impl<'a> Line<'a> {
    /// Its text with all white space.
    pub fn text(&self) -> &'a str {
        self.text
    }

    /// Nothing but white space.
    pub fn is_blank(&self) -> bool {
        self.body.is_none() && self.comment.is_none() && !self.skipped
    }

    /// The line as prose: without its comment, and with the white space round what it says.
    pub fn prose(&self) -> Piece<'_> {
        let end = match (self.comment, self.body) {
            (None, Some(_)) => self.text.len(),
            // Whatever blanks it is made of.
            (None, None) => 0,
            (Some(_), Some(body)) => body.span().end().saturating_sub(self.span.start()),
            (Some(_), None) => 0,
        };
        Piece { text: self.text.get(..end).unwrap_or(""), start: self.span.start() }
    }

    /// The line with its comment, as code has it.
    pub fn whole(&self) -> Piece<'_> {
        Piece { text: self.text, start: self.span.start() }
    }

    /// The columns of white space before its body (CommonMark, "Tabs": a tab ends at a multiple of four).
    pub fn indent(&self) -> usize {
        let white = self.text.bytes().take_while(|byte| matches!(byte, b' ' | b'\t'));
        white.fold(0, |columns, byte| if byte == b'\t' { columns / 4 * 4 + 4 } else { columns + 1 })
    }

    /// Tells of a line that is too long, and of characters that cannot be seen.
    pub fn report(&self, diagnostics: &mut Diagnostics) {
        if self.skipped {
            let start = self.span.start();
            diagnostics
                .error(
                    Span::new(start, start + head(self.text).len()),
                    "this line is longer than 100,000 characters",
                )
                .code(codes::LINE_TOO_LONG)
                .mend("break it into shorter lines; a block goes on after a line of `--`");
        } else {
            report_unseen(Piece { text: self.text, start: self.span.start() }, diagnostics);
        }
    }
}

/// A file without the byte order mark it may start with.
pub fn without_mark(source: &Source, file: FileId) -> Piece<'_> {
    let text = source.text_of(file);
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    Piece { text: bare, start: source.span_of(file).end() - bare.len() }
}

/// The lines of a text; line ends are `\n` or `\r\n`.
pub fn split(piece: Piece<'_>) -> Vec<Line<'_>> {
    let mut start = piece.start;
    let mut lines = Vec::new();
    for whole in piece.text.split_inclusive('\n') {
        let content = whole.strip_suffix('\n').unwrap_or(whole);
        let content = content.strip_suffix('\r').unwrap_or(content);
        lines.push(line(Piece { text: content, start }));
        start += whole.len();
    }
    lines
}

fn line(piece: Piece<'_>) -> Line<'_> {
    let line = Line {
        span: piece.span(),
        text: piece.text,
        indented: false,
        oddly: false,
        body: None,
        comment: None,
        skipped: is_too_long(piece.text),
    };
    if line.skipped {
        return line;
    }
    if piece.text.is_ascii() && !piece.text.contains("//") {
        return Line {
            body: plain_body(piece),
            indented: piece.text.starts_with(PLAIN_WHITE),
            ..line
        };
    }
    read_by_grammar(line, piece)
}

/// White space in ASCII.
const PLAIN_WHITE: [char; 2] = [' ', '\t'];

/// What a line says that is ASCII and has no comment, without the grammar, which comes to the same. Nearly all lines
/// are so.
fn plain_body(piece: Piece<'_>) -> Option<Piece<'_>> {
    let said = piece.text.trim_start_matches(PLAIN_WHITE);
    let start = piece.start + (piece.text.len() - said.len());
    let text = said.trim_end_matches(PLAIN_WHITE);
    (!text.is_empty()).then_some(Piece { text, start })
}

fn read_by_grammar<'a>(mut line: Line<'a>, piece: Piece<'a>) -> Line<'a> {
    for token in piece.tokens(Rule::line) {
        match token.as_rule() {
            Rule::indent => {
                line.indented = !token.as_str().is_empty();
                line.oddly = token.as_str().contains(is_odd);
            }
            Rule::body => line.body = Some(piece.part(&token)),
            Rule::comment => line.comment = Some(piece.span_of(&token)),
            _ => {}
        }
    }
    line
}

/// The comment of a line, from its `//`; a line of code in prose has none, whatever stands in it.
pub fn comment_of_line(text: &str) -> Option<Span> {
    line(Piece { text, start: 0 }).comment
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

/// White space that is neither the plain space, nor a tab, nor a control character.
pub fn is_odd(c: char) -> bool {
    c.is_whitespace() && c != ' ' && !c.is_control()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]

        #[test]
        fn the_grammar_says_what_a_plain_line_says(text in "[ \\ts/:\"|\u{1}\u{a0}é]{0,12}") {
            let piece = Piece { text: &text, start: 3 };
            let bare = Line { body: None, indented: false, oddly: false, comment: None, ..line(piece) };
            prop_assert_eq!(
                format!("{:?}", line(piece)),
                format!("{:?}", read_by_grammar(bare, piece))
            );
        }
    }
}
