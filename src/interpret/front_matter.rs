//! Lines for the pages after a title page, where there is none.

use super::{codes, keys};
use crate::source::{Diagnostics, Span, say};
use crate::syntax::tree::{Document, Setting};

/// What is printed after a title page alone.
const AFTER_TITLE: [&str; 5] = ["dedication", "publisher", "printing", "year", "thanks"];

/// Warns of lines of the header that are not printed, as it asks for no title page. One who says that there
/// is to be none, as for screens, knows.
pub(super) fn report_unprinted(document: &Document, diagnostics: &mut Diagnostics) {
    let header = &document.header;
    if header.iter().any(|line| keys::is(line, "title-page")) {
        return;
    }
    let is_lost = |line: &&Setting| AFTER_TITLE.iter().any(|key| keys::is(line, key));
    let lost: Vec<&Setting> = header.iter().filter(is_lost).collect();
    let Some(first) = lost.first() else { return };
    let names = say::listed(lost.iter().map(|line| line.key.value.as_str()));
    let start = first.key.span.start();
    diagnostics
        .warning(
            first.key.span,
            format!("what is said of {names} is printed after a title page, and there is none"),
        )
        .code(codes::FRONT_UNPRINTED)
        .replace(
            Span::new(start, start),
            "title-page: on\n",
            "write `title-page: on`, or `off` if they are for screens alone",
        );
}
