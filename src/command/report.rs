//! What a person sees on the terminal. All of it goes to standard error, so that standard output
//! can be passed on; and nothing in it moves the cursor or changes colours but what is meant to.

use flamacue::source::{Diagnostics, Source, visible};
use std::io::{ErrorKind, IsTerminal, Write};
use std::path::Path;

/// Colours on a terminal only, and never where `NO_COLOR` is set or the terminal is dumb.
fn colour() -> bool {
    let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
        || std::env::var_os("TERM").is_some_and(|value| value == "dumb");
    !refused && std::io::stderr().is_terminal()
}

/// A line; a terminal that is gone can't be told so.
pub fn line(text: &str) {
    let _ = writeln!(std::io::stderr(), "{}", visible(text));
}

/// Why nothing could be done.
pub fn failure(message: &str) {
    let name = if colour() { "\u{1b}[1;31mflamacue:\u{1b}[0m" } else { "flamacue:" };
    let _ = writeln!(std::io::stderr(), "{name} {}", visible(message));
}

/// The name of a file as it is shown: on one line, whatever is in it.
pub fn shown(path: &Path) -> String {
    visible(&path.display().to_string()).replace(['\n', '\t'], "\u{fffd}")
}

/// The reason in plain words.
pub fn plain(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".into(),
        ErrorKind::PermissionDenied => "it is not allowed".into(),
        ErrorKind::IsADirectory => "it is a folder".into(),
        ErrorKind::NotADirectory => "what stands before its name is not a folder".into(),
        ErrorKind::StorageFull => "the disk is full".into(),
        ErrorKind::QuotaExceeded => "you may not fill more of the disk".into(),
        ErrorKind::FileTooLarge => "files may not become that large here".into(),
        ErrorKind::ReadOnlyFilesystem => "the disk may only be read".into(),
        ErrorKind::InvalidFilename => "its name is too long, or not allowed here".into(),
        _ => error.to_string(),
    }
}

/// Every fault and warning of a file.
pub fn findings(source: &Source, diagnostics: &Diagnostics) {
    let report = diagnostics.render(source, colour());
    let _ = std::io::stderr().write_all(report.as_bytes());
}

/// Which of many files is being worked on; says nothing where there is one only.
pub struct Progress {
    total: usize,
    done: usize,
}

impl Progress {
    pub fn new(total: usize) -> Self {
        Self { total, done: 0 }
    }

    pub fn next(&mut self, name: &str) {
        self.done += 1;
        if self.total > 1 {
            line(&format!("[{}/{}] {name}", self.done, self.total));
        }
    }

    pub fn end(&self, sentence: &str) {
        if self.total > 1 {
            line(sentence);
        }
    }
}
