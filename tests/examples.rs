//! Single examples and the demo, looked at closely. That each of them builds and shows what it is
//! named after is a case of its own in `tests/cases/examples.rs`.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

mod built;

use built::{bars, clean, files, marks, root, words_of};
use flamacue::Compiled;
use flamacue::drawing::{Kind, Page, Shape};
use flamacue::font::{Fonts, Glyph};
use std::collections::BTreeMap;
use std::path::Path;

fn build(fonts: &Fonts, path: &Path) -> Compiled {
    let text = std::fs::read_to_string(path).expect("a readable file");
    let name = path.display().to_string();
    clean(fonts, &name, &text).unwrap_or_else(|found| panic!("{found}"))
}

fn example(name: &str) -> Compiled {
    let fonts = Fonts::built_in().expect("the built-in faces");
    build(&fonts, &root().join("examples").join(format!("{name}.flam")))
}

/// The first page of a small example.
fn page(compiled: &Compiled) -> &Page {
    compiled.drawing.pages.first().expect("a page")
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
    // Only the last row of a series is not full: each bar has room in its column.
    let series = text.lines().filter(|line| line.starts_with("series ")).count();
    let mut rows: BTreeMap<(usize, i64), usize> = BTreeMap::new();
    for (index, page) in compiled.drawing.pages.iter().enumerate() {
        for mark in marks(page).into_iter().filter(|mark| mark.kind == Kind::Number) {
            if let Shape::Text { at, .. } = &mark.shape {
                *rows.entry((index, (at.y * 10.0).round() as i64)).or_default() += 1;
            }
        }
    }
    assert!(rows.values().filter(|row| **row < 3).count() <= series, "{rows:?}");
    let mut numbers = all_words(&compiled, Kind::Number);
    assert!(numbers.len() >= 200, "{} exercises", numbers.len());
    numbers.sort();
    let all = numbers.len();
    numbers.dedup();
    assert_eq!(numbers.len(), all, "a number is given twice");
}
