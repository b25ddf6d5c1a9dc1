//! One small file for each rule of the language: its tree and its report.

use crate::dump::dump;
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax::parse;
use std::fs;
use std::path::{Path, PathBuf};

#[test]
fn suite() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite/syntax");
    let mut paths: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    for path in paths {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let source = Source::new(name.as_str(), fs::read_to_string(&path).unwrap());
        let mut diagnostics = Diagnostics::default();
        let tree = dump(&parse(&source, &mut diagnostics));
        let report = diagnostics.render(&source, false);
        insta::assert_snapshot!(name.trim_end_matches(".flam"), format!("{tree}\n{report}"));
    }
}
