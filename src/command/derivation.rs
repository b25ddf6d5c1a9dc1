//! `explain` and `expand`: what the made blocks of a file come to.

use super::args::{Expand, Explain, Limit};
use super::files;
use super::outcome::{Failure, Outcome};
use super::report;
use flamacue::derive::Budget;
use flamacue::source::{Diagnostics, Source};
use std::path::Path;

/// Turns a text into another, or finds its faults.
type Telling = fn(&Source, Budget, &mut Diagnostics) -> Option<String>;

pub fn explain(wanted: &Explain) -> Result<Outcome, Failure> {
    tell(&wanted.file, wanted.limit, flamacue::explain_within)
}

pub fn expand(wanted: &Expand) -> Result<Outcome, Failure> {
    tell(&wanted.file, wanted.limit, flamacue::expand_within)
}

fn tell(file: &Path, limit: Limit, telling: Telling) -> Result<Outcome, Failure> {
    let source = files::read(file)?;
    let mut diagnostics = Diagnostics::default();
    let told = telling(&source, limit.of(&source), &mut diagnostics);
    report::findings(&source, &diagnostics);
    match told {
        Some(text) => files::print(text.as_bytes()),
        None => Ok(Outcome::Faults),
    }
}
