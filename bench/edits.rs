//! What one edit costs in a session: books of some 75, 300 and 1,200 pages, in files of a chapter each and
//! in one file, 200 random edits each.
//!
//!     cargo bench --bench edits
//!
//! An edit replaces the first letter of a row of notes by another. Three things are timed: what it takes to
//! have read it, typeset what it touches and know which pages look different; the same with these pages as
//! SVG; and, for some of the edits, all pages as a PDF file.

// A measurement may stop at the first surprise.
#![allow(missing_docs, clippy::expect_used, clippy::panic)]

use flamacue::font::Fonts;
use flamacue::session::Session;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Chapters of the books, which come to some 75, 300 and 1,200 pages.
const CHAPTERS: [usize; 3] = [10, 38, 152];
const EDITS: usize = 200;
/// One of so many edits is followed by a PDF.
const PDF_EACH: usize = 20;

fn main() {
    println!(
        "{:28}{:>7}{:>22}{:>22}{:>12}",
        "", "pages", "median, 99th: update", "with SVG", "PDF"
    );
    for chapters in CHAPTERS {
        let files = book(chapters);
        measure("a file each", &files);
        measure("one file", &in_one_file(&files));
    }
}

/// The made-up book, written by the one script that knows how.
fn book(chapters: usize) -> BTreeMap<String, String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder: PathBuf = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("book-{chapters}"));
    let script = Command::new("python3")
        .arg(root.join("bench/book"))
        .arg(&folder)
        .arg(chapters.to_string())
        .output();
    let done = script.expect("python3 writes the book");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let text = |path: &Path| std::fs::read_to_string(path).expect("a text");
    let mut files = BTreeMap::from([("book.flam".to_owned(), text(&folder.join("book.flam")))]);
    for number in 1..=chapters {
        let name = format!("chapters/{number}.flam");
        files.insert(name.clone(), text(&folder.join(name)));
    }
    files
}

/// The same with the chapters in place of the lines that include them.
fn in_one_file(files: &BTreeMap<String, String>) -> BTreeMap<String, String> {
    let mut whole = String::new();
    for line in files["book.flam"].split_inclusive('\n') {
        match line.trim_end().strip_prefix("include ").and_then(|name| files.get(name)) {
            Some(chapter) => {
                let (head, body) = chapter.split_once("\n\n").expect("a header");
                let title = head.lines().find_map(|line| line.strip_prefix("title: "));
                whole += &format!("# {}\n\n{body}", title.unwrap_or_default());
            }
            None => whole += line,
        }
    }
    BTreeMap::from([("book.flam".to_owned(), whole)])
}

fn measure(what: &str, files: &BTreeMap<String, String>) {
    let fonts = Arc::new(Fonts::built_in().expect("the built-in faces"));
    let mut session = Session::new("book.flam", files["book.flam"].clone(), fonts);
    for (name, text) in files.iter().filter(|(name, _)| *name != "book.flam") {
        session.set_file(name.clone(), text.clone());
    }
    let first = session.update(&|| false).expect("nobody stops it");
    assert!(first.current, "{}", session.diagnostics().render(session.source(), false));
    let rows: Vec<(&String, usize)> = files
        .iter()
        .flat_map(|(name, text)| {
            text.match_indices("  play  ").map(move |(at, row)| (name, at + row.len()))
        })
        .collect();
    let mut random = 0x2545_F491_4F6C_DD1D_u64;
    let (mut updates, mut shown, mut files_of_pdf) = (Vec::new(), Vec::new(), Vec::new());
    let mut number = 0;
    while number < EDITS {
        random ^= random << 13;
        random ^= random >> 7;
        random ^= random << 17;
        let (name, at) = rows[(random % rows.len() as u64) as usize];
        let (length, letter) = match session.text(name).and_then(|text| text[at..].chars().next()) {
            Some('s') => (1, "t"),
            Some('t') => (1, "s"),
            Some(_) | None => continue,
        };
        number += 1;
        let start = Instant::now();
        session.edit(name, at..at + length, letter).expect("the row is there");
        let update = session.update(&|| false).expect("nobody stops it");
        updates.push(start.elapsed());
        assert!(update.current, "the edit makes a fault");
        for page in update.changed {
            std::hint::black_box(session.svg(page));
        }
        shown.push(start.elapsed());
        if number % PDF_EACH == 0 {
            let start = Instant::now();
            std::hint::black_box(session.pdf().expect("a PDF"));
            files_of_pdf.push(start.elapsed());
        }
    }
    let told = |times: &mut Vec<Duration>| {
        times.sort();
        let at = |share: usize| times[(times.len() - 1) * share / 100].as_secs_f64() * 1e3;
        format!("{:.2}, {:.2} ms", at(50), at(99))
    };
    files_of_pdf.sort();
    let pdf = files_of_pdf[files_of_pdf.len() / 2].as_secs_f64() * 1e3;
    let title = format!("{} pages, {what}", first.pages);
    println!(
        "{title:28}{:>7}{:>22}{:>22}{pdf:>9.1} ms",
        first.pages,
        told(&mut updates),
        told(&mut shown)
    );
}
