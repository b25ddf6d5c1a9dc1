//! One small file for each rule: its score and what is found in it.

use super::dump;
use std::fs;
use std::path::{Path, PathBuf};

#[test]
fn suite() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite/score");
    let mut paths: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    assert!(!paths.is_empty());
    for path in paths {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        insta::assert_snapshot!(name, format!("{text}=====\n{}", dump(&text)));
    }
}
