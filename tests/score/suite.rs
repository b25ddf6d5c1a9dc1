//! One small file for each rule: its score and what is found in it.

use super::dump;
use std::fs;
use std::path::{Path, PathBuf};

fn paths() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite/score");
    let mut paths: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    assert!(!paths.is_empty());
    paths
}

/// The texts of all files of the suite.
pub fn files() -> &'static [String] {
    static FILES: std::sync::OnceLock<Vec<String>> = std::sync::OnceLock::new();
    FILES.get_or_init(|| paths().iter().map(|path| fs::read_to_string(path).unwrap()).collect())
}

#[test]
fn suite() {
    for path in paths() {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        let (score, diagnostics, _) = super::read(&text);
        super::check::score(&score, diagnostics.has_errors());
        insta::assert_snapshot!(name, format!("{text}=====\n{}", dump(&text)));
    }
}
