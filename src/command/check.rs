//! `check`: everything a build does but writing.

use super::args::Check;
use super::common::FontFiles;
use super::editions;
use super::files::Reader;
use super::fonts::FaceBox;
use super::outcome::{Failure, Outcome};
use super::report;
use super::report::Progress;
use flamacue::source::Diagnostics;

pub fn run(wanted: &Check) -> Result<Outcome, Failure> {
    let usual = FontFiles::default();
    let reader = Reader::new(&wanted.roots);
    let mut faces = FaceBox::new(&usual, &reader)?;
    let mut progress = Progress::new(wanted.files.len());
    let mut faulty = 0;
    for file in &wanted.files {
        let text = reader.text(file)?;
        let source = &text.source;
        progress.next(source.name());
        let mut diagnostics = Diagnostics::default();
        let as_it_stands = std::iter::once(None);
        for edition in as_it_stands.chain(flamacue::editions(source).into_iter().map(Some)) {
            let mut found = Diagnostics::default();
            let edition = edition.as_deref();
            let limit = wanted.limit.of(source);
            let score =
                faces.meanwhile(|| editions::score(source, (edition, None), limit, &mut found));
            let fonts = faces.of(&text, &score.header, file, &mut found);
            if !found.has_errors() {
                flamacue::check_pages(source, score, fonts, None, &mut found);
            }
            editions::take(edition, found, &mut diagnostics);
        }
        report::findings(source, &diagnostics);
        if diagnostics.has_errors() {
            faulty += 1;
        }
    }
    match faulty {
        0 => {
            progress.end("no faults");
            Ok(Outcome::Clean)
        }
        _ => {
            progress.end(&format!("faults in {faulty} of {} files", wanted.files.len()));
            Ok(Outcome::Faults)
        }
    }
}
