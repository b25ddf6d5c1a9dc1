//! Memory in huge pages: for books only, as each takes two megabytes however little is kept there.
//!
//! The system makes memory ready as it is first touched, four kilobytes at a time or, where it is let, two megabytes.
//! In small pages that takes a tenth of a book's time, in huge ones hardly any. The bounds are measured.

use std::ops::Range;

/// Bytes of text that are worth them, some hundred to eight hundred pages: of less, too little is made to be worth their
/// room, and of more so much is made and given up meanwhile that there is no room to spare.
const WORTH: Range<usize> = 64 << 10..512 << 10;

/// None, as for a command that does little or goes on for long.
pub fn none() {
    set(false);
}

/// As it is best while a text of so many bytes is read and its pages are made.
pub fn for_text(bytes: usize) {
    set(WORTH.contains(&bytes));
}

/// Starts another program, which is to have them as the system gives them: it would take over that there are none.
pub fn for_another<T>(start: impl FnOnce() -> T) -> T {
    set(true);
    let started = start();
    none();
    started
}

/// Where the system can't, pages are as they are.
#[cfg(target_os = "linux")]
fn set(huge: bool) {
    let _ = rustix::thread::disable_transparent_huge_pages(!huge);
}

#[cfg(not(target_os = "linux"))]
fn set(_huge: bool) {}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    #[test]
    fn a_book_alone_is_made_in_huge_pages() {
        let huge =
            || !rustix::thread::transparent_huge_pages_are_disabled().expect("it can be asked");
        none();
        assert!(!huge());
        for (bytes, wanted) in [
            (WORTH.start - 1, false),
            (WORTH.start, true),
            (WORTH.end - 1, true),
            (WORTH.end, false),
        ] {
            for_text(bytes);
            assert_eq!(huge(), wanted, "{bytes} bytes");
        }
    }

    #[test]
    fn another_program_does_not_take_over_that_there_are_none() {
        // From memory of proc(5): a row of a process's status tells whether it may have them.
        let status = || {
            let shown = std::process::Command::new("cat").arg("/proc/self/status").output();
            String::from_utf8(shown.expect("it runs").stdout).expect("text")
        };
        none();
        let (own, another) = (status(), for_another(status));
        // Older systems have no such row.
        if own.contains("THP_enabled:") {
            assert!(own.contains("THP_enabled:\t0"), "{own}");
            assert!(another.contains("THP_enabled:\t1"), "{another}");
        }
        assert!(rustix::thread::transparent_huge_pages_are_disabled().expect("it can be asked"));
    }
}
