//! `explain` and `expand`: what the made blocks of a file come to.

use super::args::{Expand, Explain};
use super::common::{Limit, Roots};
use super::files::Reader;
use super::outcome::{Failure, Outcome};
use super::{report, standard};
use flamacue::derive::Budget;
use flamacue::source::{Diagnostics, Source};
use std::path::Path;

/// Turns a text into another, or finds its faults.
type Telling = fn(&Source, Budget, &mut Diagnostics) -> Option<String>;

pub fn explain(wanted: &Explain) -> Result<Outcome, Failure> {
    tell(&wanted.file, (&wanted.roots, wanted.limit), flamacue::explain_within)
}

pub fn expand(wanted: &Expand) -> Result<Outcome, Failure> {
    tell(&wanted.file, (&wanted.roots, wanted.limit), flamacue::expand_within)
}

fn tell(
    file: &Path,
    (roots, limit): (&Roots, Limit),
    telling: Telling,
) -> Result<Outcome, Failure> {
    let source = Reader::new(roots).text(file)?.source;
    let mut diagnostics = Diagnostics::default();
    let told = telling(&source, limit.of(&source), &mut diagnostics);
    report::findings(&source, &diagnostics);
    match told {
        Some(text) => standard::print_text(&text),
        None => Ok(Outcome::Faults),
    }
}
