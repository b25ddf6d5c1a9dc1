//! `explain` and `expand`: what the made blocks of a file come to.

use super::args::OneText;
use super::files::Reader;
use super::outcome::{Failure, Outcome};
use super::{report, standard};
use flamacue::derive::Budget;
use flamacue::source::{Diagnostics, Source};

/// Turns a text into another, or finds its faults.
type Telling = fn(&Source, Budget, &mut Diagnostics) -> Option<String>;

pub fn explain(wanted: &OneText) -> Result<Outcome, Failure> {
    tell(wanted, flamacue::explain_within)
}

pub fn expand(wanted: &OneText) -> Result<Outcome, Failure> {
    tell(wanted, flamacue::expand_within)
}

fn tell(wanted: &OneText, telling: Telling) -> Result<Outcome, Failure> {
    let source = Reader::new(&wanted.roots).text(&wanted.file)?.source;
    let mut diagnostics = Diagnostics::default();
    let told = telling(&source, wanted.limit.of(&source), &mut diagnostics);
    report::findings(&source, &diagnostics);
    match told {
        Some(text) => standard::print_text(&text),
        None => Ok(Outcome::Faults),
    }
}
