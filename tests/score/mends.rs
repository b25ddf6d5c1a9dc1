//! Mends that are changes of the text: each takes its fault away. Every kind of fault is seen.

use crate::read;
use flamacue::source::{Code, Diagnostic};
use flamacue::{derive, interpret, perform};
use std::collections::BTreeSet;

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
    let texts = ["x"];
    texts.iter().map(|text| (text.chars().take(40).collect(), (*text).to_owned())).collect()
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
    assert!(applied > 50, "only {applied} edits were tried");
}

#[test]
fn an_edit_never_stands_without_words() {
    for (name, text) in suite() {
        for fault in faults(&text) {
            assert!(fault.edit.is_none() || fault.mend.is_some(), "{name}: {fault:?}");
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
    assert_eq!(unseen, [""; 0]);
    let kindless: Vec<String> = files
        .iter()
        .flat_map(|(_, text)| faults(text))
        .filter(|f| f.code == Code::GENERAL)
        .map(|f| f.message)
        .collect();
    assert!(kindless.is_empty(), "{}", kindless.join("\n"));
}
