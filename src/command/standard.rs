//! Standard input and output.

use super::outcome::{Failure, Outcome};
use super::report::plain;
use flamacue::source::visible;
use std::io::{ErrorKind, IsTerminal, Write};
use std::path::Path;

/// Whether a path stands for standard input or output.
pub fn is_standard(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Writes bytes to standard output. A reader that has seen enough is no fault.
pub fn print(bytes: &[u8]) -> Result<Outcome, Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            Err(Failure(format!("can't write to standard output: {}", plain(&e))))
        }
        _ => Ok(Outcome::Clean),
    }
}

/// Writes a text to standard output: as it is to another program, and to a terminal without what would
/// disturb it.
pub fn print_text(text: &str) -> Result<Outcome, Failure> {
    if std::io::stdout().is_terminal() {
        print(visible(text).as_bytes())
    } else {
        print(text.as_bytes())
    }
}
