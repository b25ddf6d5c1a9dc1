//! How the process ends.

use std::io::Write;

/// Ends it with a status, once what is printed is out. The system takes its memory back at once; left to
/// the end of `main`, the allocator first gives it back bit by bit, which takes a millisecond.
#[cfg(unix)]
pub fn end(status: u8) -> std::process::ExitCode {
    // A terminal that is gone can't be told so.
    let _ = std::io::stdout().flush();
    signal_hook::low_level::exit(status.into())
}

/// Ends it with a status.
#[cfg(not(unix))]
pub fn end(status: u8) -> std::process::ExitCode {
    let _ = std::io::stdout().flush();
    status.into()
}
