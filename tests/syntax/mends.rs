//! Mends that are changes of the text: each takes its fault away.

use crate::mended::{Faulty, by_start, edits_mend, texts, unseen};
use flamacue::source::{Diagnostic, Diagnostics, Source};
use flamacue::syntax;

fn faults(text: &str) -> Vec<Diagnostic> {
    let source = Source::new("porch.flam", text);
    let mut diagnostics = Diagnostics::default();
    syntax::parse(&source, &mut diagnostics);
    diagnostics.sorted().into_iter().cloned().collect()
}

/// Faults that no file of the suite has.
fn others() -> Faulty {
    let long = "x".repeat(100_001);
    let faulty = [
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
    faulty.into_iter().map(by_start).collect()
}

fn suite() -> Faulty {
    texts("syntax", others())
}

#[test]
fn every_edit_takes_its_fault_away() {
    let applied = edits_mend(&suite(), faults);
    assert!(applied > 50, "only {applied} edits were tried");
}

#[test]
fn every_fault_of_the_syntax_has_a_kind() {
    // Those of several or very large files are seen elsewhere.
    assert_eq!(unseen(syntax::codes::ALL, &suite(), faults), ["file-too-large", "include-refused"]);
}
