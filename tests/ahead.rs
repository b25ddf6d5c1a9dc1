//! A PDF whose lines of music are written as soon as they are set is the file that its whole drawing makes.

use flamacue::font::Fonts;
use flamacue::pages::{Wanted, booklet};
use flamacue::source::{Diagnostics, Source};
use flamacue::write::pdf::{InkSpace, PdfOptions, write_with};
use std::fs;
use std::path::PathBuf;

/// Every text of the suite of layouts, of the examples and of the demo.
fn texts() -> Vec<PathBuf> {
    let folders = ["demo", "examples", "tests/suite/score"];
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut texts = Vec::new();
    let mut rest: Vec<PathBuf> = folders.iter().map(|folder| root.join(folder)).collect();
    while let Some(folder) = rest.pop() {
        for entry in fs::read_dir(&folder).into_iter().flatten().flatten() {
            let path = entry.path();
            match path.extension() {
                _ if path.is_dir() => rest.push(path),
                Some(ending) if ending == "flam" => texts.push(path),
                _ => {}
            }
        }
    }
    texts.sort();
    texts
}

fn same(fonts: &Fonts, source: &Source, options: PdfOptions) -> bool {
    let mut found = Diagnostics::default();
    let Some(score) = flamacue::read(source, &mut found) else { return false };
    let whole = flamacue::typeset(source, &score, fonts, None, Wanted::Pages, &mut found);
    let mut checked = Diagnostics::default();
    if let Some(score) = flamacue::read(source, &mut checked) {
        flamacue::check_pages(source, score, fonts, None, &mut checked);
    }
    assert_eq!(found.sorted(), checked.sorted(), "{}: other faults by a check", source.name());
    let Some(whole) = whole else { return false };
    let mut again = Diagnostics::default();
    let read = flamacue::read(source, &mut again).is_some();
    let ahead = flamacue::typeset_pdf(source, score, fonts, None, options, &mut again);
    assert_eq!(found.sorted().len(), again.sorted().len(), "{}: other faults", source.name());
    let whole = write_with(&whole.drawing, fonts, &options).map_err(|error| error.0);
    let ahead = ahead.filter(|_| read).map(|pages| pages.write(fonts).map_err(|error| error.0));
    assert!(ahead == Some(whole), "{}: another file", source.name());
    true
}

#[test]
fn lines_written_ahead_make_the_same_file() {
    let fonts = Fonts::built_in().expect("the faces are there");
    let mut held = 0;
    for path in texts() {
        let text = fs::read_to_string(&path).expect("a text");
        let source = Source::new(path.display().to_string(), text);
        held += usize::from(same(&fonts, &source, PdfOptions::default()));
    }
    assert!(held > 100, "only {held} texts were held");
}

/// In ink for a press, with coloured ink, in columns, in the middle of their pages, over several pages, and with a
/// notation key.
#[test]
fn whatever_the_pages_are_like() {
    let fonts = Fonts::built_in().expect("the faces are there");
    let blocks = "exercise \"One\"\n  columns: 2\n  time: 2/4\n  play  ssss (s).ss | kk [ss]s\n\n"
        .repeat(40);
    let long = "groove\n  time: 1/4\n  play  ssss ".to_owned() + &"| ssss ".repeat(60);
    let press = PdfOptions { ink: InkSpace::Cmyk, bleed: 9.0, crop_marks: true, date: Some(1) };
    for (head, options) in [
        ("", press),
        ("ink: white\nbackground: black\n", PdfOptions::default()),
        ("blocks: one a page, centred\n", PdfOptions::default()),
        ("key: first page\nindex: both\n", PdfOptions::default()),
    ] {
        for body in [&blocks, &long] {
            let source = Source::new("made.flam", format!("title: Made\n{head}\n{body}"));
            let mut found = Diagnostics::default();
            let read = flamacue::read(&source, &mut found);
            assert!(read.is_some(), "{head}: {}", found.render(&source, false));
            assert!(same(&fonts, &source, options), "{head}");
        }
    }
}

/// A booklet has the pages that were set, two on a side.
#[test]
fn a_booklet_of_lines_written_ahead_is_the_same_file() {
    let fonts = Fonts::built_in().expect("the faces are there");
    let text = "title: Made\n\n".to_owned()
        + &"exercise \"One\"\n  time: 2/4\n  play  ssss kk\n\n".repeat(60);
    let source = Source::new("made.flam", text);
    let options = PdfOptions::default();
    let mut found = Diagnostics::default();
    let score = flamacue::read(&source, &mut found).expect("a score");
    let whole = flamacue::typeset(&source, &score, &fonts, None, Wanted::Pages, &mut found);
    let ahead = flamacue::typeset_pdf(&source, score, &fonts, None, options, &mut found);
    let (whole, ahead) = (whole.expect("a drawing"), ahead.expect("pages"));
    let whole = write_with(&booklet::impose(&whole.drawing), &fonts, &options);
    assert!(whole.expect("a file") == ahead.as_booklet(&fonts).write(&fonts).expect("a file"));
}
