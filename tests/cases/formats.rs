//! The files of the suite, formatted: their trees stay, and formatting again changes nothing.

use crate::built::files;
use crate::syntax::formatted::checked;
use crate::{case, read, stem};
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax::parse;
use libtest_mimic::Trial;
use std::path::Path;

/// The files with faults, which are not formatted.
const FAULTY: [&str; 32] = [
    "bar-faults",
    "block-faults",
    "book",
    "cell-faults",
    "count-faults",
    "editors",
    "header-all-without-colons",
    "header-colons",
    "header-faults",
    "header-then-block",
    "header-then-prose",
    "heading-faults",
    "heading-names",
    "kit",
    "long-line",
    "lost-row",
    "misspelt-rows",
    "odd-spaces",
    "players-faults",
    "players-many",
    "prose-faults",
    "row-colons",
    "rows-flush",
    "signs-faults",
    "split-faults",
    "spread-faults",
    "stick-faults",
    "touches",
    "unquoted-titles",
    "unseen",
    "word-faults",
    "word-split-faults",
];

pub fn cases() -> Vec<Trial> {
    let files = files("tests/suite/syntax").into_iter();
    files
        .map(|path| case(format!("format::{}", stem(&path)), move || keeps_its_tree(&path)))
        .collect()
}

fn keeps_its_tree(path: &Path) {
    let text = read(path);
    if FAULTY.contains(&stem(path).as_str()) {
        let source = Source::new("suite.flam", text);
        let mut diagnostics = Diagnostics::default();
        parse(&source, &mut diagnostics);
        assert!(diagnostics.has_errors(), "the file is without faults: take it from the list");
    } else {
        checked(&text);
    }
}
