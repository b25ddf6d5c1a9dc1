//! The report a person reads.

use super::diagnostic::{Diagnostic, Diagnostics, Severity};
use super::text::Source;
use crate::score::Span;
use codespan_reporting::diagnostic::{Diagnostic as Shown, Label};
use codespan_reporting::files::{Error, Files};
use codespan_reporting::term;
use codespan_reporting::term::termcolor::Buffer;
use codespan_reporting::term::{Config, Styles, StylesWriter};
use std::fmt::Write;
use std::ops::Range;

/// Faults and warnings printed; of more only the number is given.
const PRINTED: usize = 100;
/// Characters of a line shown before the marked place and after its start, where the line is too
/// long to be shown whole.
const BEFORE: usize = 50;
const AFTER: usize = 90;
/// Characters of a message shown; a message can quote a word of any length.
const MESSAGE: usize = 300;

impl Diagnostics {
    /// The report a person reads: file, line, column, the marked line, the sentence, the mend; the
    /// first hundred, errors before warnings, and the number of the rest. `colour` adds terminal
    /// colours.
    pub fn render(&self, source: &Source, colour: bool) -> String {
        render(&self.sorted(), self.unkept(), source, colour)
    }
}

impl Diagnostic {
    /// How to mend it, and where the other of two stands that can't be both.
    pub fn mend_in(&self, source: &Source) -> Option<String> {
        let mend = self.mend.as_deref();
        let Some(other) = self.other else { return mend.map(str::to_owned) };
        let location = source.location(other.start());
        let place =
            format!("the other is in {}, line {}", source.name_of(location.file), location.line);
        Some(mend.map_or(place.clone(), |mend| format!("{mend}; {place}")))
    }
}

/// Prints diagnostics, which are in the order of their places; `unkept` more were found.
fn render(found: &[&Diagnostic], unkept: usize, source: &Source, colour: bool) -> String {
    let mut out = String::new();
    for diagnostic in chosen(found) {
        out.push_str(&one(diagnostic, source, colour));
    }
    let more = found.len().saturating_sub(PRINTED) + unkept;
    if more > 0 {
        let _ = writeln!(out, "... and {more} more");
    }
    out
}

/// The first of them, errors before warnings, still in order.
fn chosen<'a>(found: &[&'a Diagnostic]) -> Vec<&'a Diagnostic> {
    let errors = found.iter().filter(|d| d.severity == Severity::Error).count();
    let mut warnings_left = PRINTED.saturating_sub(errors);
    found
        .iter()
        .filter(|d| match d.severity {
            Severity::Error => true,
            Severity::Warning if warnings_left > 0 => {
                warnings_left -= 1;
                true
            }
            Severity::Warning => false,
        })
        .take(PRINTED)
        .copied()
        .collect()
}

fn one(diagnostic: &Diagnostic, source: &Source, colour: bool) -> String {
    let excerpt = Excerpt::new(source, diagnostic.span);
    let shown = match diagnostic.severity {
        Severity::Error => Shown::error(),
        Severity::Warning => Shown::warning(),
    };
    let shown = shown
        .with_message(legible(&diagnostic.message))
        .with_label(Label::primary((), excerpt.mark.clone()))
        .with_notes_iter(diagnostic.mend_in(source).iter().map(|mend| legible(mend)));
    let config = Config::default();
    let text = if colour {
        let styles = Styles::default();
        let mut buffer = Buffer::ansi();
        let mut writer = StylesWriter::new(&mut buffer, &styles);
        term::emit_to_write_style(&mut writer, &config, &excerpt, &shown)
            .map(|()| String::from_utf8_lossy(buffer.as_slice()).into_owned())
    } else {
        term::emit_into_string(&config, &excerpt, &shown)
    };
    let text = text.unwrap_or_else(|_| plain(diagnostic, source));
    text.lines().fold(String::new(), |mut out, line| {
        out.push_str(line.trim_end());
        out.push('\n');
        out
    })
}

/// The report without the source line.
fn plain(diagnostic: &Diagnostic, source: &Source) -> String {
    let location = source.location(diagnostic.span.start());
    let message = legible(&diagnostic.message);
    format!(
        "{}:{}:{}: {message}\n",
        legible(source.name_of(location.file)),
        location.line,
        location.column
    )
}

/// The marked line, cut to a length that can be read.
struct Excerpt {
    name: String,
    text: String,
    /// Bytes of `text` to be underlined.
    mark: Range<usize>,
    line: usize,
    column: usize,
}

impl Excerpt {
    fn new(source: &Source, span: Span) -> Self {
        let location = source.location(span.start());
        let line = source.line_at(span.start());
        let text = source.slice(line);
        let start = span.start().clamp(line.start(), line.end()) - line.start();
        let end = span.end().clamp(line.start() + start, line.end()) - line.start();
        let (from, to) = window(text, start);
        let mut excerpt = Self {
            name: legible(source.name_of(location.file)),
            text: String::new(),
            mark: 0..0,
            line: location.line,
            column: location.column,
        };
        if from > 0 {
            excerpt.text.push_str("... ");
        }
        excerpt.push(text.get(from..start).unwrap_or(""));
        excerpt.mark.start = excerpt.text.len();
        excerpt.push(text.get(start..end.min(to)).unwrap_or(""));
        excerpt.mark.end = excerpt.text.len();
        excerpt.push(text.get(end.min(to)..to).unwrap_or(""));
        if to < text.len() {
            excerpt.text.push_str(" ...");
        }
        excerpt
    }

    fn push(&mut self, text: &str) {
        self.text.extend(text.chars().map(|c| if c == '\t' { c } else { shown(c) }));
    }
}

/// The bytes of a line to be shown round a place in it.
fn window(line: &str, place: usize) -> (usize, usize) {
    let (head, tail) = line.split_at_checked(place).unwrap_or((line, ""));
    let whole = head.chars().take(BEFORE + AFTER).count() + tail.chars().take(AFTER).count();
    if whole <= BEFORE + AFTER && tail.chars().nth(AFTER).is_none() {
        return (0, line.len());
    }
    let from = head.char_indices().rev().nth(BEFORE - 1).map_or(0, |(at, _)| at);
    let to = tail.char_indices().nth(AFTER).map_or(line.len(), |(at, _)| head.len() + at);
    (from, to)
}

impl<'a> Files<'a> for Excerpt {
    type FileId = ();
    type Name = &'a str;
    type Source = &'a str;

    fn name(&'a self, (): ()) -> Result<&'a str, Error> {
        Ok(&self.name)
    }

    fn source(&'a self, (): ()) -> Result<&'a str, Error> {
        Ok(&self.text)
    }

    fn line_index(&'a self, (): (), _byte: usize) -> Result<usize, Error> {
        Ok(0)
    }

    fn line_number(&'a self, (): (), _line: usize) -> Result<usize, Error> {
        Ok(self.line)
    }

    fn column_number(&'a self, (): (), _line: usize, _byte: usize) -> Result<usize, Error> {
        Ok(self.column)
    }

    fn line_range(&'a self, (): (), _line: usize) -> Result<Range<usize>, Error> {
        Ok(0..self.text.len())
    }
}

/// Text of any length without characters that would disturb a terminal; tabs and line ends stay.
pub fn visible(text: &str) -> String {
    text.chars().map(|c| if matches!(c, '\n' | '\t') { c } else { shown(c) }).collect()
}

/// Text without characters that would disturb a terminal, cut to a length that can be read.
pub fn legible(text: &str) -> String {
    let mut out: String = text.chars().take(MESSAGE).map(shown).collect();
    if text.chars().nth(MESSAGE).is_some() {
        out.push_str(" ...");
    }
    out
}

/// A character as it is shown: what would move the cursor or turn the line round is replaced.
fn shown(c: char) -> char {
    let turns = matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}');
    if c.is_control() || turns { char::REPLACEMENT_CHARACTER } else { c }
}
