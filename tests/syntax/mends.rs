//! Mends that are changes of the text: each takes its fault away.

use flamacue::source::{Code, Diagnostic, Diagnostics, Source};
use flamacue::syntax;
use std::collections::BTreeSet;

fn faults(text: &str) -> Vec<Diagnostic> {
    let source = Source::new("porch.flam", text);
    let mut diagnostics = Diagnostics::default();
    syntax::parse(&source, &mut diagnostics);
    diagnostics.sorted().into_iter().cloned().collect()
}

/// How many faults of a kind are told in the same words.
fn count(all: &[Diagnostic], like: &Diagnostic) -> usize {
    all.iter().filter(|d| d.code == like.code && d.message == like.message).count()
}

/// Faults that no file of the suite has.
fn others() -> Vec<(String, String)> {
    let long = "x".repeat(100_001);
    let texts = [
        "include two\n",
        "inculde two.flam\n",
        "fill a\n  play s s s s\n\nvariation of a\n  --\n  taps: ghost\n",
        "fill\n  play s s s s | %3\n",
        "fill a big one\n  play s s s s\n",
        "fill 'big one\n  play s s s s\n",
        "fill\n  stick rRl R\n",
        "exercise\n  play s s s s\n  mark \"softly . | A\n",
        "kit\n  j: jam, , x\n  q , quoit\n",
        long.as_str(),
    ];
    texts.iter().map(|text| (text.chars().take(40).collect(), (*text).to_owned())).collect()
}

fn suite() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/suite/syntax");
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
    for (name, text) in suite() {
        let before = faults(&text);
        for fault in &before {
            let Some(edit) = &fault.edit else { continue };
            let mut mended = text.clone();
            mended.replace_range(edit.span.start..edit.span.end, &edit.text);
            let after = faults(&mended);
            assert!(
                count(&after, fault) < count(&before, fault),
                "{name}: {fault:?} is still there in:\n{mended}"
            );
            applied += 1;
        }
    }
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
fn every_fault_of_the_syntax_has_a_kind() {
    let mut seen: BTreeSet<Code> = BTreeSet::new();
    for (name, text) in suite() {
        for fault in faults(&text) {
            assert_ne!(fault.code, Code::GENERAL, "{name}: {fault:?}");
            seen.insert(fault.code);
        }
    }
    // Those of several or very large files are seen elsewhere.
    let unseen: Vec<&str> = syntax::codes::ALL
        .iter()
        .filter(|code| !seen.contains(code))
        .map(|code| code.as_str())
        .collect();
    assert_eq!(unseen, ["file-too-large", "include-refused"]);
}
