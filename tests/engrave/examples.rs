//! The layout of every example: where each mark stands, in staff spaces from the left end of the
//! staff and its middle line. A picture is looked at before its snapshot is accepted.

use crate::picture::{Picture, Seen};
use flamacue::drawing::Kind;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::PathBuf;

fn examples() -> Vec<PathBuf> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples");
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut paths: Vec<PathBuf> =
        entries.filter(|path| path.extension().is_some_and(|e| e == "flam")).collect();
    paths.sort();
    assert!(!paths.is_empty());
    paths
}

/// Kinds in the order of a page from the top, and by their marks from the left.
fn layout(picture: &Picture) -> String {
    let mut rows: BTreeMap<(usize, usize, Kind), Vec<&Seen>> = BTreeMap::new();
    for mark in &picture.marks {
        rows.entry((mark.line, mark.bar, mark.kind)).or_default().push(mark);
    }
    let mut text = String::new();
    for ((line, bar, kind), mut marks) in rows {
        marks.sort_by(|a, b| a.ink.x0.total_cmp(&b.ink.x0).then(a.ink.y0.total_cmp(&b.ink.y0)));
        let _ = write!(text, "{line}.{bar} {}:", kind.name());
        for mark in marks {
            let _ = match mark.name.is_empty() {
                true => write!(
                    text,
                    " {:.2},{:.2}..{:.2},{:.2}",
                    mark.ink.x0, mark.ink.y0, mark.ink.x1, mark.ink.y1
                ),
                false => {
                    write!(text, " {}@{:.2},{:.2}", mark.name, mark.origin.0, mark.origin.1)
                }
            };
        }
        text.push('\n');
    }
    // A number just under nought is nought.
    text.replace("-0.00", "0.00")
}

#[test]
fn layouts() {
    for path in examples() {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let pictures = Picture::all(&text);
        assert!(!pictures.is_empty(), "{name}");
        let all: Vec<String> = pictures.iter().map(layout).collect();
        insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!(format!("layout-{name}"), all.join("--\n"));
        });
    }
}
