//! What a person sees on the terminal. All of it goes to standard error, so that standard output
//! can be passed on.

use flamacue::source::{Diagnostics, Source};
use std::io::{IsTerminal, Write};

/// Colours on a terminal only, and never where `NO_COLOR` is set or the terminal is dumb.
fn colour() -> bool {
    let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
        || std::env::var_os("TERM").is_some_and(|value| value == "dumb");
    !refused && std::io::stderr().is_terminal()
}

/// A line; a terminal that is gone can't be told so.
pub fn line(text: &str) {
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// Why nothing could be done.
pub fn failure(message: &str) {
    if colour() {
        line(&format!("\u{1b}[1;31mflamacue:\u{1b}[0m {message}"));
    } else {
        line(&format!("flamacue: {message}"));
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
