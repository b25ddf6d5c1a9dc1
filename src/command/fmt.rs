//! `fmt`: the same music with its rows in columns.

use super::args::Fmt;
use super::files::{MARK, Reader};
use super::outcome::{Failure, Outcome};
use super::report::Progress;
use super::standard::is_standard;
use super::{report, standard, writing};
use flamacue::assist;
use flamacue::source::Source;
use std::io::IsTerminal;

pub fn run(wanted: &Fmt) -> Result<Outcome, Failure> {
    let reader = Reader::new(&wanted.roots);
    let mut progress = Progress::new(wanted.files.len());
    let mut outcome = Outcome::Clean;
    for file in &wanted.files {
        let text = reader.text(file)?;
        progress.next(text.source.name());
        let Some(formatted) = format(&text.source) else {
            outcome = Outcome::Faults;
            continue;
        };
        let formatted = saved_as(&text.bytes, formatted);
        if wanted.check {
            if formatted.as_bytes() != text.bytes {
                standard::print_text(&format!("{}\n", named(&text.source)))?;
                outcome = Outcome::Faults;
            }
        } else if is_standard(file) {
            standard::print_text(&formatted)?;
        } else if formatted.as_bytes() != text.bytes {
            writing::rewrite(file, &text.bytes, formatted.as_bytes())?;
        }
    }
    Ok(outcome)
}

/// The name of a file: as it is for another program, on one line for a terminal.
fn named(source: &Source) -> String {
    let name = source.name();
    if std::io::stdout().is_terminal() { report::shown(name.as_ref()) } else { name.to_owned() }
}

/// The formatted text; nothing for a text with faults, which are shown.
fn format(source: &Source) -> Option<String> {
    assist::formatted(source).map_err(|found| report::findings(source, &found)).ok()
}

/// A formatted text with the byte-order mark and the line ends of the file it was read from: those that
/// most of its lines have.
fn saved_as(before: &[u8], formatted: String) -> String {
    let lines = before.iter().filter(|byte| **byte == b'\n').count();
    let wide = before.windows(2).filter(|pair| pair == b"\r\n").count();
    let mut text = formatted.replace("\r\n", "\n");
    if wide * 2 > lines {
        text = text.replace('\n', "\r\n");
    }
    if before.starts_with(MARK.as_bytes()) {
        text.insert_str(0, MARK);
    }
    text
}
