//! What one edit costs in a session: books of some 75, 300 and 1,200 pages, in files of a chapter each and
//! in one file, 200 random edits each.
//!
//!     cargo bench --bench edits
//!     cargo bench --bench edits -- "152 chapters" title     of these alone
//!
//! Either the first letter of a row of notes is replaced by another; or, as under a hand that types, a letter
//! comes or goes again, so that all that follows moves: in a row, in a title or in a sentence; or a paragraph more
//! or less gives all that follows other numbers. Three things are timed: what it takes to have read it, typeset
//! what it touches and know which pages look different; the same with these pages as SVG; and, for some of the
//! edits, all pages as a PDF file.

// A measurement may stop at the first surprise.
#![allow(missing_docs, clippy::expect_used, clippy::panic)]

use flamacue::font::Fonts;
use flamacue::session::Session;
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Chapters of the books, which come to some 75, 300 and 1,200 pages.
const CHAPTERS: [usize; 3] = [10, 38, 152];
const EDITS: usize = 200;
/// One of so many edits is followed by a PDF.
const PDF_EACH: usize = 20;

/// What an edit does.
#[derive(Clone, Copy)]
enum Kind {
    /// A letter of a row is replaced by another.
    Replaced,
    /// A blank of a row comes or goes again.
    InRow,
    /// A letter of a title comes or goes again.
    InTitle,
    /// A letter of a sentence comes or goes again.
    InSentence,
    /// A paragraph is parted in two or joined again, so that all that follows has another number.
    Paragraph,
}

impl Kind {
    const ALL: [Self; 5] =
        [Self::Replaced, Self::InRow, Self::InTitle, Self::InSentence, Self::Paragraph];

    fn name(self) -> &'static str {
        match self {
            Self::Replaced => "letter replaced",
            Self::InRow => "typed in a row",
            Self::InTitle => "typed in a title",
            Self::InSentence => "typed in a sentence",
            Self::Paragraph => "a paragraph more or less",
        }
    }

    /// What stands before the places that are edited, and what comes or goes there.
    fn place(self) -> (&'static str, &'static str) {
        match self {
            Self::Replaced => ("  play  ", ""),
            Self::InRow => ("  play ", " "),
            Self::InTitle => (" open", "s"),
            Self::InSentence => ("Walk", "s"),
            Self::Paragraph => ("Walk", ".\n\nWalk"),
        }
    }
}

fn main() {
    // Cargo names itself among the arguments.
    let wanted: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    println!("{:52}{:>22}{:>22}{:>12}", "", "median, 99th: update", "with SVG", "PDF");
    for chapters in CHAPTERS {
        let files = book(chapters);
        for (what, files) in [("a file each", files.clone()), ("one file", in_one_file(&files))] {
            for kind in Kind::ALL {
                let title = format!("{chapters} chapters, {what}, {}", kind.name());
                if wanted.iter().all(|word| title.contains(word)) {
                    measure(what, kind, &files);
                }
            }
        }
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

/// Places of a file that are edited, in order.
struct Places<'t> {
    name: &'t String,
    places: Vec<usize>,
    /// What comes or goes there; nothing where a letter is replaced.
    letter: &'static str,
    /// Which of them hold it.
    written: Vec<bool>,
}

impl<'t> Places<'t> {
    fn of(name: &'t String, text: &str, kind: Kind) -> Self {
        let (before, letter) = kind.place();
        let found = text.match_indices(before).map(|(at, _)| at + before.len());
        let places: Vec<usize> = found.collect();
        Self { name, written: vec![false; places.len()], places, letter }
    }

    /// The range that an edit of a place replaces, and what comes there; nothing where it would do nothing.
    fn edit(&mut self, place: usize, text: &str) -> Option<(Range<usize>, &'static str)> {
        let before = self.written.iter().take(place).filter(|written| **written).count();
        let (letter, length) = (self.letter, self.letter.len());
        let at = self.places[place] + before * length;
        if letter.is_empty() {
            return match text[at..].chars().next() {
                Some('s') => Some((at..at + 1, "t")),
                Some('t') => Some((at..at + 1, "s")),
                Some(_) | None => None,
            };
        }
        let own = &mut self.written[place];
        let written = std::mem::replace(own, !*own);
        Some(if written { (at..at + length, "") } else { (at..at, letter) })
    }
}

fn measure(what: &str, kind: Kind, files: &BTreeMap<String, String>) {
    let fonts = Arc::new(Fonts::built_in().expect("the built-in faces"));
    let mut session = Session::new("book.flam", files["book.flam"].clone(), fonts);
    for (name, text) in files.iter().filter(|(name, _)| *name != "book.flam") {
        session.set_file(name.clone(), text.clone());
    }
    let first = session.update(&|| false).expect("nobody stops it");
    assert!(first.current, "{}", session.diagnostics().render(session.source(), false));
    let mut places: Vec<Places<'_>> =
        files.iter().map(|(name, text)| Places::of(name, text, kind)).collect();
    let all: Vec<(usize, usize)> = places
        .iter()
        .enumerate()
        .flat_map(|(file, own)| (0..own.places.len()).map(move |place| (file, place)))
        .collect();
    let mut random = 0x2545_F491_4F6C_DD1D_u64;
    let (mut updates, mut shown, mut files_of_pdf) = (Vec::new(), Vec::new(), Vec::new());
    let mut number = 0;
    while number < EDITS {
        random ^= random << 13;
        random ^= random >> 7;
        random ^= random << 17;
        let (file, place) = all[(random % all.len() as u64) as usize];
        let own = &mut places[file];
        let text = session.text(own.name).expect("the file is there");
        let Some((range, letter)) = own.edit(place, text) else { continue };
        number += 1;
        let start = Instant::now();
        session.edit(own.name, range, letter).expect("the place is there");
        let update = session.update(&|| false).expect("nobody stops it");
        updates.push(start.elapsed());
        assert!(
            update.current,
            "the edit makes a fault: {}",
            session.diagnostics().render(session.source(), false)
        );
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
    let title = format!("{} pages, {what}, {}", first.pages, kind.name());
    println!("{title:52}{:>22}{:>22}{pdf:>9.1} ms", told(&mut updates), told(&mut shown));
}
