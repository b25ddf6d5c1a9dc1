//! A file told step by step, or with all that is made put in its place as plain rows.

use super::account::Account;
use super::budget::Budget;
use super::complete::told;
use super::exercise_names::NumberedReferences;
use super::maker::CanPlay;
use super::text::Plain;
use crate::interpret::Reading;
use crate::score::Span;
use crate::source::{Diagnostics, FileId, Location, Source};
use std::fmt::Write;

/// How each variation, context, series and made sticking of a file comes about, in plain words;
/// nothing where the file has faults, which go to `diagnostics`.
pub fn explain(
    source: &Source,
    reading: Reading,
    with: (CanPlay<'_>, Budget),
    diagnostics: &mut Diagnostics,
) -> Option<String> {
    let mut text = String::new();
    for one in &accounts(reading, with, diagnostics)? {
        let Location { file, line, .. } = source.location(one.span.start());
        let head = source.slice(one.span).lines().next().unwrap_or("").trim_end();
        let _ = match file {
            FileId::MAIN => writeln!(text, "{head}    (line {line})"),
            _ => writeln!(text, "{head}    ({}, line {line})", source.name_of(file)),
        };
        for step in &one.steps {
            let _ = writeln!(text, "  {step}");
        }
        text.push('\n');
    }
    Some(text)
}

/// The text with each variation, context, series and made sticking written out in plain rows;
/// nothing where the file has faults, which go to `diagnostics`. It builds to the same drawing: an
/// exercise that words refer to by its number gets a name, and the words refer to that. The files it
/// includes stay as they are, and so do the lines that include them.
pub fn expand(
    source: &Source,
    reading: Reading,
    with: (CanPlay<'_>, Budget),
    diagnostics: &mut Diagnostics,
) -> Option<String> {
    let numbered = NumberedReferences::of(&reading);
    let mut made = accounts(reading, with, diagnostics)?;
    let renamed = numbered.name(&mut made, source);
    let mut edits: Vec<Edit> = made.into_iter().flat_map(edits_of).collect();
    edits.extend(renamed.into_iter().map(|(span, new)| Edit { span, new, to_line_end: false }));
    edits.retain(|edit| source.file_at(edit.span.start()) == FileId::MAIN);
    edits.sort_by_key(|edit| edit.span);
    let text = source.text();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for Edit { span, new, to_line_end } in edits {
        out.push_str(text.get(at..span.start()).unwrap_or(""));
        out.push_str(&new);
        at = span.end();
        if to_line_end {
            // A comment after the last line belongs to what is gone.
            let rest = text.get(at..).unwrap_or("");
            at += rest.find('\n').unwrap_or(rest.len());
        }
    }
    out.push_str(text.get(at..).unwrap_or(""));
    Some(out)
}

/// A stretch of the text that is replaced, with the rest of its last line or without.
struct Edit {
    span: Span,
    new: String,
    to_line_end: bool,
}

fn edits_of(account: Account) -> Vec<Edit> {
    let whole = account.blocks.map(|blocks| {
        let text: Vec<String> = blocks.iter().map(Plain::text).collect();
        (account.span, text.join("\n").trim_end().to_owned())
    });
    let edits = whole.into_iter().chain(account.edits);
    edits.map(|(span, new)| Edit { span, new, to_line_end: span.start() < span.end() }).collect()
}

fn accounts(
    reading: Reading,
    with: (CanPlay<'_>, Budget),
    diagnostics: &mut Diagnostics,
) -> Option<Vec<Account>> {
    let (_, made) = told(reading, with, diagnostics);
    (!diagnostics.has_errors()).then_some(made)
}
