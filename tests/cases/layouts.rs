//! The layout of every example: where each mark stands, in staff spaces from the left end of the
//! staff and its middle line. A picture is looked at before its snapshot is accepted.

use crate::built::files;
use crate::picture::{Picture, Seen};
use crate::{case, compare_with_snapshot, read, stem};
use flamacue::drawing::Kind;
use libtest_mimic::Trial;
use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;

pub fn cases() -> Vec<Trial> {
    let files = files("examples").into_iter();
    files.map(|path| case(format!("layout::{}", stem(&path)), move || compare(&path))).collect()
}

fn compare(path: &Path) {
    let pictures = Picture::all(&read(path));
    assert!(!pictures.is_empty(), "no block");
    let all: Vec<String> = pictures.iter().map(layout).collect();
    compare_with_snapshot("engrave", &format!("layout-{}", stem(path)), &all.join("--\n"));
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
    // A number just under zero is zero.
    text.replace("-0.00", "0.00")
}
