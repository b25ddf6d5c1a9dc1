//! `explain` and `expand`: what the made blocks of a file come to.

use super::args::{Expand, Explain};
use super::files;
use super::outcome::{Failure, Outcome};
use super::report;
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax::tree::Document;
use flamacue::{derive, interpret, syntax};
use std::path::Path;

/// Turns a text into another, or finds its faults.
type Telling = fn(&Source, &Document, &mut Diagnostics) -> Option<String>;

pub fn explain(wanted: &Explain) -> Result<Outcome, Failure> {
    tell(&wanted.file, derive::explain)
}

pub fn expand(wanted: &Expand) -> Result<Outcome, Failure> {
    tell(&wanted.file, derive::expand)
}

fn tell(file: &Path, telling: Telling) -> Result<Outcome, Failure> {
    let source = files::read(file)?;
    let mut diagnostics = Diagnostics::default();
    let document = syntax::parse(&source, &mut diagnostics);
    // The score is understood even where the text has faults, so that all are shown at once.
    if diagnostics.has_errors() {
        interpret::build(&source, &document, &mut diagnostics);
    }
    let told = telling(&source, &document, &mut diagnostics);
    report::findings(&source, &diagnostics);
    match told {
        Some(text) => files::print(text.as_bytes()),
        None => Ok(Outcome::Faults),
    }
}
