//! The score: what a file means.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::unwrap_used)]

mod check;
mod dump;
mod facts;
mod properties;
mod suite;

use flamacue::interpret;
use flamacue::score::Score;
use flamacue::source::{Diagnostics, Source};

/// The score of a text and everything found in it.
fn read(text: &str) -> (Score, Diagnostics, Source) {
    let source = Source::new("test.flam", text);
    let mut diagnostics = Diagnostics::default();
    let document = flamacue::syntax::parse(&source, &mut diagnostics);
    let score = interpret::build(&source, &document, &mut diagnostics);
    (score, diagnostics, source)
}

/// What was found, one line each: place, sentence, mend.
fn found(diagnostics: &Diagnostics, source: &Source) -> String {
    let mut lines = Vec::new();
    for d in diagnostics.sorted() {
        let place = source.location(d.span.start);
        let mend = d.mend.as_ref().map(|m| format!(" -> {m}")).unwrap_or_default();
        lines.push(format!(
            "{:?} {}:{} [{}] {}{mend}",
            d.severity,
            place.line,
            place.column,
            source.slice(d.span),
            d.message
        ));
    }
    lines.join("\n")
}

/// The score of a text in short, and everything found in it.
fn dump(text: &str) -> String {
    let (score, diagnostics, source) = read(text);
    let mut out = dump::score(&score);
    let found = found(&diagnostics, &source);
    if !found.is_empty() {
        out.push_str("---\n");
        out.push_str(&found);
        out.push('\n');
    }
    out
}
