//! Reports as a terminal shows them.

use flamacue::source::{Diagnostics, Severity, Source, Span};

fn without_colours(text: &str) -> String {
    let mut out = String::new();
    let mut pieces = text.split('\u{1b}');
    out.push_str(pieces.next().unwrap());
    for piece in pieces {
        out.push_str(piece.split_once('m').unwrap().1);
    }
    out
}

#[test]
fn colours_are_there_only_when_asked_for() {
    let source = Source::new("porch.flam", "fill a\n  play s?ss\n");
    let mut diagnostics = Diagnostics::default();
    diagnostics.error(Span::new(15, 16), "this is no hit").mend("write a hit");
    diagnostics.warning(Span::new(5, 6), "nothing plays this");
    let plain = diagnostics.render(&source, false);
    let coloured = diagnostics.render(&source, true);
    assert!(!plain.contains('\u{1b}') && coloured.contains('\u{1b}'));
    assert_eq!(without_colours(&coloured), plain);
    insta::assert_snapshot!(plain);
}

/// The line that is marked and the line of marks under it.
fn marked(text: &str, span: Span) -> (String, String) {
    let source = Source::new("x", text);
    let mut diagnostics = Diagnostics::default();
    diagnostics.error(span, "fault");
    let report = diagnostics.render(&source, false);
    let mut lines = report.lines().skip(3);
    let line = |line: Option<&str>| line.unwrap_or("").split_once('│').unwrap().1.to_owned();
    (line(lines.next()), line(lines.next()))
}

#[test]
fn marks_stand_under_what_they_mark() {
    assert_eq!(marked("ab\tcd", Span::new(3, 4)), (" ab  cd".into(), "     ^".into()));
    assert_eq!(marked("\tcd", Span::new(1, 3)), ("     cd".into(), "     ^^".into()));
    assert_eq!(marked("日本x", Span::new(6, 7)), (" 日本x".into(), "     ^".into()));
    assert_eq!(marked("ab\ncd", Span::new(1, 4)), (" ab".into(), "  ^".into()));
    assert_eq!(marked("ab", Span::new(2, 2)), (" ab".into(), "   ^".into()));
    assert_eq!(marked("ab\r\ncd", Span::new(0, 4)), (" ab".into(), " ^^".into()));
}

#[test]
fn places_outside_the_text_are_survived() {
    for span in [Span::new(5, 9), Span::new(0, 99), Span::new(2, 1), Span::new(1, 2)] {
        let source = Source::new("x", "é\n");
        let mut diagnostics = Diagnostics::default();
        diagnostics.error(span, "fault");
        assert!(diagnostics.render(&source, true).contains("fault"));
    }
    let mut diagnostics = Diagnostics::default();
    diagnostics.error(Span::new(0, 0), "fault");
    assert!(diagnostics.render(&Source::new("x", ""), false).contains("x:1:1"));
}

#[test]
fn nothing_in_a_report_can_steer_a_terminal() {
    let source = Source::new("a\u{1b}[2Jb", "fill \u{1b}[31m\u{202e}x\n");
    let mut diagnostics = Diagnostics::default();
    diagnostics.error(Span::new(5, 6), "a\u{1b}[0mb\nc").mend("\u{7}");
    let report = diagnostics.render(&source, false);
    assert!(report.chars().all(|c| c == '\n' || !c.is_control()) && !report.contains('\u{202e}'));
}

#[test]
fn a_long_line_is_cut_round_its_mark() {
    let text = "x".repeat(100_000);
    for at in [0, 10, 50_000, 99_999] {
        let (line, marks) = marked(&text, Span::new(at, at + 1));
        assert!(line.chars().count() < 160, "{line}");
        let column = marks.find('^').unwrap();
        assert_eq!(line.chars().nth(column), Some('x'));
    }
    let (line, marks) = marked(&text, Span::new(0, 100_000));
    assert!(line.chars().count() < 160 && marks.chars().count() < 160);
}

#[test]
fn errors_are_printed_before_warnings_where_not_all_are() {
    let source = Source::new("x", "x".repeat(300));
    let mut diagnostics = Diagnostics::default();
    for at in 0..200 {
        diagnostics.warning(Span::new(at, at + 1), "a warning");
    }
    diagnostics.error(Span::new(250, 251), "the error");
    let report = diagnostics.render(&source, false);
    assert_eq!(report.matches("a warning").count(), 99);
    assert!(report.contains("the error") && report.ends_with("... and 101 more\n"));
    assert_eq!(diagnostics.count(Severity::Warning), 200);
}
