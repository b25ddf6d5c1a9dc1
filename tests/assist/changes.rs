use crate::texts::Asked;
use flamacue::assist::{changed_lines, findings, formatted};
use flamacue::source::{Edit, Severity, Source};

#[test]
fn a_finding_has_its_code_its_words_and_its_mend() {
    let asked = Asked::new("fill\n  play  s s s s\n  stik  R L R L\n", &[]);
    let found = findings(asked.session.source(), asked.session.diagnostics());
    let [one] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!((one.severity, one.code.as_str()), (Severity::Error, "instrument-unknown"));
    assert_eq!(one.message, "there is no row or instrument `stik`\ndid you mean `stick`?");
    let mend = one.mend.as_ref().expect("a mend");
    assert_eq!(mend.title, "did you mean `stick`?");
    let edit = Edit { span: mend.span, text: mend.text.clone() };
    assert_eq!(asked.changed(0, &[edit]), "fill\n  play  s s s s\n  stick  R L R L\n");
}

#[test]
fn the_other_of_two_is_told() {
    let asked = Asked::new("fill a\n  play s s s s\n\nfill a\n  play s s s s\n", &[]);
    let found = findings(asked.session.source(), asked.session.diagnostics());
    assert!(found[0].other.is_some(), "{found:?}");
    assert!(found[0].message.contains("the other is in main.flam, line 1"), "{found:?}");
}

#[test]
fn a_text_is_formatted_by_the_lines_that_change() {
    let text = "fill\n  play s s s s // c\r\n   stick  R L R L\n\n\nWords.\n\n\n";
    let after = formatted(&Source::new("a", text)).expect("a text without faults");
    let changes = changed_lines(text, &after);
    assert!(changes.iter().all(|(range, _)| range.start >= 5), "{changes:?}");
    let mut made = text.to_owned();
    for (range, new) in changes.into_iter().rev() {
        made.replace_range(range, &new);
    }
    assert_eq!(made.replace("\r\n", "\n"), after);
    assert!(formatted(&Source::new("a", "fill\n  play s s s s s\n")).is_err());
}
