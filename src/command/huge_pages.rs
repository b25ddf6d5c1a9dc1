//! Memory in huge pages: for books only, as each takes two megabytes however little is kept there.
//!
//! The system makes memory ready as it is first touched, four kilobytes at a time or, where it is let, two megabytes.
//! In small pages that takes a tenth of a book's time, in huge ones hardly any. The bounds are measured.

/// Bytes of text from which huge pages are worth their room.
const LONG: usize = 64 << 10;
/// Bytes of text from which they would take more room than is to spare while its pages are made.
const VERY_LONG: usize = 512 << 10;

/// None, as for a command that does little or goes on for long.
pub fn none() {
    set(false);
}

/// As it is best while a text of so many bytes is read.
pub fn to_read(bytes: usize) {
    set(bytes >= LONG);
}

/// As it is best while the pages of a text of so many bytes are made.
pub fn to_make_pages(bytes: usize) {
    set((LONG..VERY_LONG).contains(&bytes));
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
        for (bytes, read, made) in [
            (LONG - 1, false, false),
            (LONG, true, true),
            (VERY_LONG - 1, true, true),
            (VERY_LONG, true, false),
        ] {
            to_read(bytes);
            assert_eq!(huge(), read, "{bytes} bytes to read");
            to_make_pages(bytes);
            assert_eq!(huge(), made, "{bytes} bytes to make pages of");
        }
    }
}
