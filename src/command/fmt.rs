//! `fmt`: the same music with its rows in columns.

use super::args::Fmt;
use super::files;
use super::files::Staged;
use super::outcome::{Failure, Outcome};
use super::report;
use super::report::Progress;
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax;

pub fn run(wanted: &Fmt) -> Result<Outcome, Failure> {
    let mut progress = Progress::new(wanted.files.len());
    let mut outcome = Outcome::Clean;
    for file in &wanted.files {
        let source = files::read(file)?;
        progress.next(source.name());
        let Some(formatted) = format(&source) else {
            outcome = Outcome::Faults;
            continue;
        };
        if wanted.check {
            if formatted != source.text() {
                files::print(format!("{}\n", source.name()).as_bytes())?;
                outcome = Outcome::Faults;
            }
        } else if files::is_standard(file) {
            files::print(formatted.as_bytes())?;
        } else if formatted != source.text() {
            let mut staged = Staged::default();
            staged.add(file, formatted.as_bytes())?;
            staged.commit()?;
        }
    }
    Ok(outcome)
}

/// The formatted text; nothing for a text with faults, which are shown.
fn format(source: &Source) -> Option<String> {
    let mut diagnostics = Diagnostics::default();
    let document = syntax::parse(source, &mut diagnostics);
    flamacue::understand_document(source, &document, &mut diagnostics);
    // A chapter may name blocks of other chapters, which are not known here.
    if diagnostics.has_own_errors() {
        report::findings(source, &diagnostics);
        return None;
    }
    Some(syntax::format(source, &document))
}
