//! One small file for each rule: its score and what is found in it.

use crate::built::files;
use crate::score::{check, told};
use crate::{case, compare_with_snapshot, read, score_dump, stem};
use libtest_mimic::Trial;
use std::path::Path;

pub fn cases() -> Vec<Trial> {
    let files = files("tests/suite/score").into_iter();
    files.map(|path| case(format!("score::{}", stem(&path)), move || score(&path))).collect()
}

fn score(path: &Path) {
    let text = read(path);
    let (score, diagnostics, _) = told::read(&text);
    check::score(&score, diagnostics.has_errors());
    let name = format!("score__suite__{}", stem(path));
    compare_with_snapshot("score", &name, &format!("{text}=====\n{}", in_short(&text)));
}

/// The score of a text in short, and everything found in it.
fn in_short(text: &str) -> String {
    let (score, diagnostics, source) = told::read(text);
    let mut out = score_dump::score(&score);
    let found = told::found(&diagnostics, &source);
    if !found.is_empty() {
        out.push_str("---\n");
        out.push_str(&found);
        out.push('\n');
    }
    out
}
