//! Every file of `examples/` and `demo/` builds without a fault or a warning and shows what it is
//! named after.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

mod built;

use built::{bars, clean, files, marks, number_of, root, words_of};
use flamacue::Compiled;
use flamacue::drawing::{Kind, Page, Shape};
use flamacue::font::{Fonts, Glyph};
use std::collections::BTreeMap;
use std::path::Path;

/// What each example must have on its pages.
const SHOWS: &[(&str, &[Kind])] = &[
    ("accents-and-ghosts", &[Kind::Accent, Kind::GhostBracket]),
    ("additive-time", &[Kind::TimeSignature, Kind::Beam]),
    ("bars-of-rest", &[Kind::Rest, Kind::BarRepeat]),
    ("bars-on-a-line", &[Kind::BarNumber]),
    ("beams-and-rests", &[Kind::Beam, Kind::Rest]),
    ("book", &[Kind::RunningHead, Kind::Heading, Kind::Number, Kind::Foot, Kind::Subtitle]),
    ("breath-and-caesura", &[Kind::Articulation]),
    ("buzz-roll", &[Kind::Buzz, Kind::Tie]),
    ("cells-of-a-beat", &[Kind::Tuplet, Kind::Beam]),
    ("changing-time", &[Kind::TimeSignature, Kind::Grace]),
    ("choked-cymbal", &[Kind::Choke]),
    ("comments", &[Kind::Stroke]),
    ("common-and-cut-time", &[Kind::TimeSignature]),
    ("compound-counting", &[Kind::Count]),
    ("compound-time", &[Kind::Beam, Kind::GhostBracket]),
    ("context", &[Kind::BarRepeat, Kind::Ending, Kind::Sticking]),
    ("count-first", &[Kind::Count, Kind::Sticking]),
    ("count-trip-let", &[Kind::Tuplet, Kind::Count]),
    ("count-words", &[Kind::Count]),
    ("counting-systems", &[Kind::Count]),
    ("counts-all", &[Kind::Count, Kind::Rest]),
    ("counts-none", &[Kind::Sticking]),
    ("double-barline", &[Kind::Barline]),
    ("dynamics", &[Kind::Dynamic, Kind::Hairpin]),
    ("first-bar", &[Kind::Clef, Kind::TimeSignature, Kind::StaffLine, Kind::Stem]),
    ("flam-drag-ruff", &[Kind::Grace, Kind::GraceSlash, Kind::Sticking]),
    ("forty-rudiments", &[Kind::Grace, Kind::Buzz, Kind::Tuplet, Kind::Accent, Kind::Sticking]),
    ("full-rests", &[Kind::Rest]),
    ("grace-slurs", &[Kind::Slur]),
    ("headings-and-prose", &[Kind::Heading, Kind::Text, Kind::Subtitle, Kind::Author, Kind::Foot]),
    ("hi-hat-openings", &[Kind::Opening]),
    ("holds", &[Kind::Tie, Kind::Dot]),
    ("instrument-rows", &[Kind::Notehead, Kind::GhostBracket]),
    ("kit-block", &[Kind::Notehead, Kind::Ledger]),
    ("kit-letters", &[Kind::Words, Kind::Ledger]),
    ("lines-asked-for", &[Kind::BarNumber]),
    ("longer-blocks", &[Kind::Notehead]),
    ("marks-over-the-staff", &[Kind::Section, Kind::Sign, Kind::Tempo, Kind::Swing, Kind::Words]),
    ("metric-modulation", &[Kind::Tempo, Kind::TimeSignature]),
    ("nested-tuplets", &[Kind::Tuplet]),
    ("noteheads", &[Kind::Notehead, Kind::Ledger]),
    ("notation-key", &[Kind::Heading, Kind::Words, Kind::Buzz, Kind::Choke]),
    ("odd-time", &[Kind::TimeSignature]),
    ("one-line-staff", &[Kind::StaffLine, Kind::Sticking]),
    ("one-voice", &[Kind::Beam, Kind::Sticking]),
    ("page-and-staff-size", &[Kind::StaffLine]),
    ("pedal-row", &[Kind::Pedalling]),
    ("pickup-bar", &[Kind::Barline]),
    ("play-row", &[Kind::Accent]),
    ("playable", &[Kind::Sticking, Kind::Words]),
    ("repeated-bars", &[Kind::BarRepeat]),
    ("repeats-and-endings", &[Kind::RepeatDot, Kind::Ending]),
    ("rests", &[Kind::Rest]),
    ("rhythm-only", &[Kind::Words, Kind::Count]),
    ("roll-numbers", &[Kind::RollNumber, Kind::Tie]),
    ("rolls-and-ties", &[Kind::Stroke, Kind::Tie]),
    ("series", &[Kind::Accent, Kind::Words, Kind::Sticking]),
    ("several-bars-again", &[Kind::BarRepeat]),
    ("short-and-long", &[Kind::Articulation, Kind::Choke]),
    ("split-cells", &[Kind::Beam]),
    ("side-by-side", &[Kind::Title, Kind::Number]),
    ("spread-groups", &[Kind::Tuplet]),
    ("sticking-first", &[Kind::Sticking, Kind::Grace, Kind::Accent]),
    ("sticking-hidden", &[Kind::Grace]),
    ("sticking-row", &[Kind::Sticking]),
    ("sticking-rules", &[Kind::Sticking, Kind::Grace]),
    ("strokes-and-diddles", &[Kind::Stroke]),
    ("style-book", &[Kind::BarRepeat]),
    ("style-screen", &[Kind::Sticking]),
    ("style-stand", &[Kind::Notehead, Kind::Sticking]),
    ("struck-together", &[Kind::Notehead]),
    ("swing", &[Kind::Swing]),
    ("tempo", &[Kind::Tempo]),
    ("time-at-a-line-end", &[Kind::TimeSignature]),
    ("two-voices", &[Kind::Stem, Kind::Rest]),
    ("variations", &[Kind::Stroke, Kind::GhostBracket, Kind::Sticking, Kind::Tuplet]),
    ("words-under-notes", &[Kind::Words]),
];

fn build(fonts: &Fonts, path: &Path) -> Compiled {
    let text = std::fs::read_to_string(path).expect("a readable file");
    let name = path.display().to_string();
    clean(fonts, &name, &text).unwrap_or_else(|found| panic!("{found}"))
}

fn example(name: &str) -> Compiled {
    let fonts = Fonts::built_in().expect("the built-in faces");
    build(&fonts, &root().join("examples").join(format!("{name}.flam")))
}

fn stem(path: &Path) -> String {
    path.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default()
}

/// The first page of a small example.
fn page(compiled: &Compiled) -> &Page {
    compiled.drawing.pages.first().expect("a page")
}

#[test]
fn every_file_builds_cleanly_and_shows_its_music() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let all: Vec<_> = files("examples").into_iter().chain(files("demo")).collect();
    let mut found = String::new();
    for path in &all {
        let text = std::fs::read_to_string(path).expect("a readable file");
        let compiled = match clean(&fonts, &path.display().to_string(), &text) {
            Ok(compiled) => compiled,
            Err(what) => {
                found.push_str(&what);
                continue;
            }
        };
        assert!(!compiled.drawing.pages.is_empty(), "{}: no page", path.display());
        assert!(!compiled.blocks.is_empty(), "{}: no block", path.display());
        for (name, picture) in &compiled.blocks {
            let notes = number_of(picture, Kind::Notehead);
            assert!(notes > 0, "{}: no notes in {name}", path.display());
            assert!(!bars(picture).is_empty(), "{}: no bar in {name}", path.display());
        }
    }
    assert!(found.is_empty(), "{found}");
}

#[test]
fn every_example_shows_what_it_is_named_after() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let mut named: Vec<String> = SHOWS.iter().map(|(name, _)| (*name).to_owned()).collect();
    named.sort();
    let there: Vec<String> = files("examples").iter().map(|path| stem(path)).collect();
    assert_eq!(there, named, "the table and the folder differ");
    for path in files("examples") {
        let compiled = build(&fonts, &path);
        let (_, kinds) = SHOWS.iter().find(|(name, _)| *name == stem(&path)).expect("its line");
        for kind in *kinds {
            let number: usize =
                compiled.drawing.pages.iter().map(|page| number_of(page, *kind)).sum();
            assert!(number > 0, "{}: no {}", stem(&path), kind.name());
        }
    }
}

/// Counts and stickings stand where the file asks for them and nowhere else.
#[test]
fn counts_and_letters_stand_where_they_are_asked_for() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    for path in files("examples").into_iter().chain(files("demo")) {
        let text = std::fs::read_to_string(&path).expect("a readable file");
        let compiled = build(&fonts, &path);
        let total = |kind| -> usize {
            compiled.drawing.pages.iter().map(|page| number_of(page, kind)).sum()
        };
        let text = with_included(&path, text);
        let has_row = |row: &str| text.lines().any(|line| line.trim().starts_with(row));
        let counted = !has_row("counts: none");
        assert_eq!(total(Kind::Count) > 0, counted, "{}: counts", path.display());
        let asked = ["stick ", "stick:", "stickings:", "sticking: alternate"]
            .iter()
            .any(|row| has_row(row));
        let letters = asked && !has_row("sticking: none");
        assert_eq!(total(Kind::Sticking) > 0, letters, "{}: sticking", path.display());
        assert_eq!(total(Kind::Pedalling) > 0, has_row("pedal "), "{}: feet", path.display());
    }
}

fn counts(name: &str) -> String {
    words_of(page(&example(name)), Kind::Count).join(" ")
}

#[test]
fn a_count_row_is_printed_as_it_was_spoken() {
    assert_eq!(counts("count-first"), "1 e & 2 a & a 4 e & a");
    assert_eq!(counts("count-trip-let"), "1 trip let 2 let trip let 4");
    assert_eq!(
        counts("count-words"),
        "1 2 3 4 5 2 & 3 3 5 6 4 trip let straw ber ry 2 wa ter mel on 4"
    );
}

/// A syllable for each hit of each subdivision. Common practice, no source.
#[test]
fn the_cells_of_a_beat_are_counted() {
    assert_eq!(
        counts("cells-of-a-beat"),
        "1 2 & 3 trip let 4 e & a \
         1 2 3 4 5 2 2 3 4 5 6 3 2 3 4 5 6 7 4 e & a"
    );
}

#[test]
fn silent_syllables_are_printed_where_asked() {
    assert_eq!(counts("counts-all"), "1 e & a 2 e & a 3 & 4 e & a");
}

#[test]
fn other_systems_name_the_same_hits() {
    assert_eq!(counts("counting-systems"), "ta ta di ta ka di mi ta ki da 1 2 tle 3 ket tle lid 4");
    assert_eq!(counts("compound-counting"), "1 3 4 5 6 1 a 2 & a 1 2 3 4 5 6 7 1 2 3 1 2 1 2");
}

#[test]
fn letters_of_the_hands_follow_the_hits() {
    let compiled = example("sticking-row");
    assert_eq!(words_of(page(&compiled), Kind::Sticking).join(""), "RRLRRLB");
    let compiled = example("pedal-row");
    assert_eq!(words_of(page(&compiled), Kind::Pedalling).join(""), "RRLRLRLRR");
}

#[test]
fn ornaments_are_numbered_as_written() {
    let compiled = example("flam-drag-ruff");
    let small = marks(page(&compiled)).into_iter().filter(|mark| {
        let head = Glyph::NOTEHEAD_BLACK;
        mark.kind == Kind::Grace
            && matches!(mark.shape, Shape::Glyph { glyph, .. } if glyph == head)
    });
    // Two flams, two drags and two ruffs; then a flam and a drag, and two flams.
    assert_eq!(small.count(), 2 + 4 + 6 + 3 + 2);
}

#[test]
fn a_pickup_is_the_first_bar() {
    assert_eq!(bars(page(&example("pickup-bar"))).len(), 2);
}

/// A text and those that stand beside it and are included in it.
fn with_included(path: &Path, mut text: String) -> String {
    let names: Vec<_> = text.lines().filter_map(|line| line.strip_prefix("include ")).collect();
    let included: Vec<_> = names
        .iter()
        .map(|name| std::fs::read_to_string(path.with_file_name(name)).expect("the file"))
        .collect();
    text.extend(included);
    text
}

fn demo(name: &str) -> (String, Compiled) {
    let path = root().join(format!("demo/{name}.flam"));
    let text = std::fs::read_to_string(&path).expect("the demo");
    let fonts = Fonts::built_in().expect("the built-in faces");
    (text, build(&fonts, &path))
}

fn all_words(compiled: &Compiled, kind: Kind) -> Vec<String> {
    compiled.drawing.pages.iter().flat_map(|page| words_of(page, kind)).collect()
}

/// What is made of a fill follows from the fill, so nothing of it is written a second time.
#[test]
fn no_row_of_the_demo_is_written_twice() {
    let mut seen = BTreeMap::new();
    for path in files("demo") {
        let text = std::fs::read_to_string(&path).expect("the demo");
        for line in text.lines().filter(|line| line.starts_with(' ') && !line.contains(':')) {
            let words: Vec<_> = line.split_whitespace().collect();
            let before = seen.insert(words.join(" "), path.clone());
            assert!(before.is_none(), "{line:?} stands in {before:?} and in {}", path.display());
        }
    }
    assert!(seen.len() > 25, "only {} rows", seen.len());
}

#[test]
fn the_handout_has_two_pages_and_ends_with_the_cautions() {
    let (text, compiled) = demo("over-the-bakery");
    assert_eq!(compiled.drawing.pages.len(), 2);
    assert!(text.lines().last().is_some_and(|line| line.starts_with("Protect your hearing")));
}

#[test]
fn each_fill_of_the_handout_is_varied_and_put_in_context() {
    let (handout, _) = demo("over-the-bakery");
    let (text, compiled) = demo("bakery-variations");
    let names = handout.lines().filter_map(|line| line.strip_prefix("fill "));
    let names: Vec<_> = names.filter_map(|line| line.split(' ').next()).collect();
    assert_eq!(names.len(), 11);
    for name in &names {
        let of = format!(" of {name} ");
        let end = format!(" x3, {name}");
        assert!(text.lines().any(|l| l.starts_with("variation ") && l.contains(&of)), "{name}");
        assert!(text.lines().any(|l| l.starts_with("  play: ") && l.ends_with(&end)), "{name}");
    }
    assert_eq!(all_words(&compiled, Kind::Number).len(), 2 * names.len());
}

/// A chapter of a method book is a few lines: each number has its own music.
#[test]
fn the_method_book_has_two_hundred_exercises_in_sixty_lines() {
    let (text, compiled) = demo("two-sticks");
    assert!(text.lines().filter(|line| !line.trim().is_empty()).count() < 60);
    // Only the last row of a chapter is not full: each bar has room in its column.
    let mut rows: BTreeMap<(usize, i64), usize> = BTreeMap::new();
    for (index, page) in compiled.drawing.pages.iter().enumerate() {
        for mark in marks(page).into_iter().filter(|mark| mark.kind == Kind::Number) {
            if let Shape::Text { at, .. } = &mark.shape {
                *rows.entry((index, (at.y * 10.0).round() as i64)).or_default() += 1;
            }
        }
    }
    assert!(rows.values().filter(|row| **row < 3).count() <= 4, "{rows:?}");
    let mut numbers = all_words(&compiled, Kind::Number);
    assert!(numbers.len() >= 200, "{} exercises", numbers.len());
    numbers.sort();
    let all = numbers.len();
    numbers.dedup();
    assert_eq!(numbers.len(), all, "a number is given twice");
}
