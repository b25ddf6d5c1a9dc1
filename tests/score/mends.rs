//! Mends that are changes of the text: each takes its fault away. Every kind of fault is seen.

use crate::read;
use flamacue::source::{Code, Diagnostic};
use flamacue::{derive, interpret, perform};
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

/// How many faults of a kind are told in the same words.
fn count(all: &[Diagnostic], like: &Diagnostic) -> usize {
    all.iter().filter(|d| d.code == like.code && d.message == like.message).count()
}

/// Faults that no file of the suite has.
fn others() -> Vec<(String, String)> {
    let silence = ".".repeat(30);
    let bars = "| % ".repeat(600);
    let texts = [
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
    texts.into_iter().map(|text| (text.chars().take(60).collect(), text)).collect()
}

fn suite() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/suite/score");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "flam"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    files.sort();
    files.extend(others());
    files
}

#[test]
fn every_edit_takes_its_fault_away() {
    let mut applied = 0;
    let mut wrong = Vec::new();
    for (name, text) in suite() {
        let before = faults(&text);
        for fault in &before {
            let Some(edit) = &fault.edit else { continue };
            let mut mended = text.clone();
            mended.replace_range(edit.span.start..edit.span.end, &edit.text);
            let after = faults(&mended);
            if count(&after, fault) >= count(&before, fault) {
                wrong.push(format!("{name}: {fault:?} is still there"));
            }
            applied += 1;
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(applied > 40, "only {applied} edits were tried");
}

#[test]
fn an_edit_never_stands_without_words_and_every_fault_has_a_kind() {
    for (name, text) in suite() {
        for fault in faults(&text) {
            assert!(fault.edit.is_none() || fault.mend.is_some(), "{name}: {fault:?}");
            assert_ne!(fault.code, Code::GENERAL, "{name}: {fault:?}");
        }
    }
}

#[test]
fn every_kind_of_fault_is_seen() {
    let files = suite();
    let seen: BTreeSet<Code> =
        files.iter().flat_map(|(_, text)| faults(text)).map(|fault| fault.code).collect();
    let all = [interpret::codes::ALL, derive::codes::ALL, perform::codes::ALL].concat();
    let unseen: Vec<&str> =
        all.iter().filter(|code| !seen.contains(code)).map(|code| code.as_str()).collect();
    assert_eq!(unseen, UNSEEN);
}
