//! One small file for each rule of the language: its tree and its report.

use crate::built::files;
use crate::syntax::dump::dump;
use crate::{case, compare_with_snapshot, read, stem};
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax::parse;
use libtest_mimic::Trial;
use std::path::Path;

pub fn cases() -> Vec<Trial> {
    let files = files("tests/suite/syntax").into_iter();
    files.map(|path| case(format!("syntax::{}", stem(&path)), move || tree(&path))).collect()
}

fn tree(path: &Path) {
    let name = stem(path);
    let source = Source::new(format!("{name}.flam"), read(path));
    let mut diagnostics = Diagnostics::default();
    let tree = dump(&parse(&source, &mut diagnostics));
    let report = diagnostics.render(&source, false);
    compare_with_snapshot(
        "syntax",
        &format!("syntax__trees__{name}"),
        &format!("{tree}\n{report}"),
    );
}
