//! A file told step by step, or with all that is made put in its place as plain rows.

use super::account::Account;
use super::budget::Budget;
use super::complete::told;
use super::maker::CanPlay;
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
        let Location { file, line, .. } = source.location(one.span.start);
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
/// nothing where the file has faults, which go to `diagnostics`. It builds to the same drawing. The
/// files it includes stay as they are, and so do the lines that include them.
pub fn expand(
    source: &Source,
    reading: Reading,
    with: (CanPlay<'_>, Budget),
    diagnostics: &mut Diagnostics,
) -> Option<String> {
    let made = accounts(reading, with, diagnostics)?;
    let text = source.text();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    let mut edits: Vec<&(Span, String)> = made
        .iter()
        .flat_map(|one| &one.edits)
        .filter(|(span, _)| source.file_at(span.start) == FileId::MAIN)
        .collect();
    edits.sort_by_key(|(span, _)| *span);
    for (span, new) in edits {
        out.push_str(text.get(at..span.start).unwrap_or(""));
        out.push_str(new);
        at = span.end;
        if span.start < span.end {
            // A comment after the last line belongs to what is gone.
            let rest = text.get(at..).unwrap_or("");
            at += rest.find('\n').unwrap_or(rest.len());
        }
    }
    out.push_str(text.get(at..).unwrap_or(""));
    Some(out)
}

fn accounts(
    reading: Reading,
    with: (CanPlay<'_>, Budget),
    diagnostics: &mut Diagnostics,
) -> Option<Vec<Account>> {
    let (_, made) = told(reading, with, diagnostics);
    (!diagnostics.has_errors()).then_some(made)
}
