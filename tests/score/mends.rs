//! Mends that are changes of the text: each takes its fault away. Every kind of fault is seen.

use crate::mended::{Faulty, by_start, edits_mend, texts, unseen};
use crate::read;
use flamacue::source::Diagnostic;
use flamacue::{derive, interpret, pages, perform, syntax};
use std::collections::BTreeSet;

/// What no text here shows. A key that is not used is one of an included file; a block of 400,000 cells
/// takes seconds to read; the syntax tells of brackets with too many words before they are counted, and
/// of a row with nothing in it before a new letter lacks a name; a change that cuts too fine takes more
/// of them than a text of a few lines has.
const UNSEEN: [&str; 5] =
    ["key-unused", "kit-name-missing", "block-too-long", "count-too-fine", "change-too-fine"];

fn faults(text: &str) -> Vec<Diagnostic> {
    let (_, diagnostics, _) = read(text);
    diagnostics.sorted().into_iter().cloned().collect()
}

/// Faults that no file of the suite has.
fn others() -> Faulty {
    let silence = ".".repeat(30);
    let bars = "| % ".repeat(600);
    let faulty = [
        "exercise\n  play s+s s s s\n".to_owned(),
        "exercise\n  play k+s+(s)! s+^s/ s 's+s,\n".to_owned(),
        format!("exercise\n  play [[.s..............]...............]{silence} s s s\n"),
        format!("fill a\n  play s s s s\n\nvariation of a\n{}", "  shift: one eighth\n".repeat(65)),
        format!("fill a\n  play s s s s {bars}\n\nvariation of a\n  taps: ghost\n"),
        "kit\n  j jam, above 3\n\nfill a\n  play j s s s\n\nkit\n  j jig, above 3\n\nvariation of a\n  taps: ghost\n".to_owned(),
        "series\n  notes: 3 of 20 sixteenths\n".to_owned(),
        format!("series\n  hands: {}\n  feet: {}\n", "ss ".repeat(7), "kk ".repeat(11)),
        "series\n  hands: ....\n".to_owned(),
        "exercise\n  feet k+p k k k\n  pedal R R R R\n".to_owned(),
        "syllables lala\n  time: 4/4\n  2 # la\n\nexercise\n  counting: lala\n  count 1 la 2 3 4\n".to_owned(),
        "kit\n  staff: none\n  j jam, above 3\n".to_owned(),
        "exercise\n  stick: economy\n  play ssss s s s\n  stick RRRR L R L\n".to_owned(),
        "fill a\n  play sssssssss sssssss sssss s\n\nvariation of a\n  shift: one thirty-second\n".to_owned(),
        "exercise\n  staff: one-lin\n  play s s s s\n".to_owned(),
        "exercise\n  stick: naturl\n  play s s s s\n".to_owned(),
        "exercise\n  counting: takadim\n  play s s s s\n".to_owned(),
        "fill a\n  play s s s s\n\nvariation of a\n  right: snar\n".to_owned(),
        "fill a\n  play s s s s\n\nvariation of a\n  taps: flor\n".to_owned(),
        "fill a\n  play s s s s\n\nvariation of a\n  sticking: naturl\n".to_owned(),
        "series of a\n  turnes: yes\n".to_owned(),
        "fill apricot\n  play s s s s\n\nvariation of apricto\n  taps: ghost\n\nSee @apricto.\n".to_owned(),
    ];
    faulty.into_iter().map(by_start).collect()
}

fn suite() -> Faulty {
    texts("score", others())
}

#[test]
fn every_edit_takes_its_fault_away() {
    let applied = edits_mend(&suite(), faults);
    assert!(applied > 40, "only {applied} edits were tried");
}

#[test]
fn every_fault_has_a_kind_and_every_kind_is_seen() {
    let kinds = [interpret::codes::ALL, derive::codes::ALL, perform::codes::ALL].concat();
    assert_eq!(unseen(&kinds, &suite(), faults), UNSEEN);
}

#[test]
fn each_kind_has_a_name_of_its_own() {
    let of_texts = [syntax::codes::ALL, interpret::codes::ALL, derive::codes::ALL];
    let kinds = [&of_texts[..], &[perform::codes::ALL, pages::codes::ALL]].concat().concat();
    let plain = |c: char| c.is_ascii_lowercase() || c == '-';
    assert!(kinds.iter().all(|kind| kind.as_str().chars().all(plain)));
    let names: BTreeSet<&str> = kinds.iter().map(|kind| kind.as_str()).collect();
    assert_eq!(names.len(), kinds.len());
}
