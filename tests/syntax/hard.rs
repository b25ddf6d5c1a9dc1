//! Hard input: whatever the text, parsing and formatting end soon and without a panic.

use flamacue::source::{Diagnostics, Severity, Source, Span};
use flamacue::syntax::tree::Document;
use flamacue::syntax::{format, parse};
use proptest::prelude::*;
use std::time::{Duration, Instant};

/// Time that a small file may take, built without optimisation and with other work on the machine.
const SOON: Duration = Duration::from_millis(100);

fn read(text: &str) -> (Source, Document, Diagnostics) {
    let source = Source::new("hard.flam", text);
    let mut diagnostics = Diagnostics::default();
    let document = parse(&source, &mut diagnostics);
    (source, document, diagnostics)
}

/// Parses, reports and formats; every span lies in the text.
fn survive(text: &str) {
    let (source, document, diagnostics) = read(text);
    let timed = || {
        let began = Instant::now();
        let _ = read(text);
        began.elapsed()
    };
    // Other work on the machine can make one measure long, but hardly ten.
    assert!((0..10).any(|_| timed() < SOON), "too slow: {text:?}");
    for fault in diagnostics.sorted() {
        assert!(is_in(text, fault.span), "{fault:?}");
    }
    let _ = diagnostics.render(&source, true);
    let _ = format(&source, &document);
}

fn is_in(text: &str, span: Span) -> bool {
    span.start() <= span.end() && text.get(span.start()..span.end()).is_some()
}

const SEED: &str = "\
title: Kettle Lane
tempo: 92

# The *fills*

groove porch \"Porch\"
  hat    x.x. | (s)o!h. :| x4
  feet   k... ..k.:2

fill gallop \"Gallop home\" // a comment
  count  1 & a (2 3 4) | % |
  play   ''S/ s//_[s~[kk]] ^c+k
  stick  llR.>L R[RL]-B
  dyn    mf <:2 \"very soft\" !
  mark   A+\"softly\" 1.
--
  play   ssss

kit
  q  cowbell, above 2, x

1. **one** and
- two
";

fn signs() -> impl Strategy<Value = String> {
    let sign = prop_oneof![
        6 => "[a-zA-Z0-9 ]",
        6 => r#"[-.,:;'^()\[\]/~!+|%_*#"><&]"#,
        3 => prop::sample::select(vec![
            "\n", "\n  ", "\n\n", "\r\n", "\t", "//", "--\n", "\n  play ", "\n  count ",
            "\n  stick ", "\n  mark ", "\n  dyn ", "\nfill a\n  hat ", "\nkit\n  q ", "title: ",
            ":|", "|:", ":2", ":1/2", "**", "“", "–", "…", "é", "🥁", "\u{7}", "\u{a0}",
        ])
        .prop_map(str::to_owned),
        1 => any::<char>().prop_map(String::from),
    ];
    prop::collection::vec(sign, 0..400).prop_map(|parts| parts.concat())
}

/// The seed with pieces cut out, doubled, or replaced.
fn mutated() -> impl Strategy<Value = String> {
    let change = (any::<prop::sample::Index>(), 0usize..30, signs());
    prop::collection::vec(change, 1..6).prop_map(|changes| {
        let mut text: Vec<char> = SEED.chars().collect();
        for (at, length, new) in changes {
            let at = at.index(text.len() + 1);
            let end = (at + length).min(text.len());
            let new: Vec<char> = new.chars().take(length).collect();
            text.splice(at..end, new);
        }
        text.into_iter().collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_text_is_survived(text in signs()) {
        survive(&text);
    }

    #[test]
    fn mutated_files_are_survived(text in mutated()) {
        survive(&text);
    }

    #[test]
    fn any_characters_are_survived(text in any::<String>()) {
        survive(&text);
    }
}

#[test]
fn the_seed_itself_is_clean() {
    let (source, _, diagnostics) = read(SEED);
    assert_eq!(diagnostics.render(&source, false), "");
}

fn messages(diagnostics: &Diagnostics) -> Vec<&str> {
    diagnostics.sorted().iter().map(|fault| fault.message.as_str()).collect()
}

/// Parses and reports a big text in a time that shows the work grows no faster than the text.
fn report(text: &str) -> (Diagnostics, String) {
    let began = Instant::now();
    let (source, document, diagnostics) = read(text);
    let report = diagnostics.render(&source, false);
    let _ = format(&source, &document);
    let took = began.elapsed();
    assert!(took < Duration::from_secs(8), "{took:?} for {} bytes", text.len());
    assert!(report.len() < 100_000, "a report of {} bytes", report.len());
    (diagnostics, report)
}

#[test]
fn a_line_of_ten_megabytes_is_one_fault() {
    let text = format!("fill a\n  play {}\n", "s".repeat(10 * 1024 * 1024));
    let (diagnostics, _) = report(&text);
    assert_eq!(messages(&diagnostics), ["this file is larger than 4 megabytes and was not read"]);
}

#[test]
fn a_line_of_three_megabytes_is_one_fault() {
    let text = format!("fill a\n  hat x.x.\n  play {}\n", "s".repeat(3 * 1024 * 1024));
    let (diagnostics, report) = report(&text);
    assert_eq!(messages(&diagnostics), ["this line is longer than 100,000 characters"]);
    assert!(report.len() < 1_000);
}

#[test]
fn a_hundred_thousand_brackets_are_faults() {
    for bracket in ["[", "]", "(", ")"] {
        for row in ["play", "stick", "count"] {
            let text = format!("fill a\n  {row} {}\n", bracket.repeat(99_000));
            let (diagnostics, _) = report(&text);
            assert!(diagnostics.has_errors(), "{row} {bracket}");
        }
    }
    let nested = format!("{}s{}", "[".repeat(45_000), "]".repeat(45_000));
    let (diagnostics, _) = report(&format!("fill a\n  play {nested}\n"));
    assert_eq!(messages(&diagnostics), ["splits go at most three deep"]);
}

#[test]
fn a_bar_of_ten_thousand_cells_is_read() {
    let text = format!("fill a\n  play {}\n", "ssss ".repeat(2_500));
    let (diagnostics, _) = report(&text);
    assert_eq!(messages(&diagnostics), <[&str; 0]>::default());
}

#[test]
fn signs_that_could_be_read_twice_are_read_in_time() {
    for sign in [
        "'", "^", "+", "a+", "/", "~", ":", ":1", "(a", "(", "r", ">", "\"", "*a ", "**a *b ",
        "* ", "** ", "*", "x//", " //", ",", "1é", "|.", ":|", "% ", "_*", "A+\"", "s:2", "–",
        "a*",
    ] {
        for row in ["  play ", "  stick ", "  count ", "  mark ", "# ", ""] {
            let head = if row.starts_with(' ') { "fill a\n" } else { "" };
            let text = format!("{head}{row}{}\n", sign.repeat(6_000 / sign.len()));
            let began = Instant::now();
            report(&text);
            // Steps that grow with the square of the length take many times this.
            let took = began.elapsed();
            assert!(took < Duration::from_secs(2), "{took:?} for {sign:?} in {row:?}");
        }
    }
}

#[test]
fn many_lines_are_read_in_time() {
    for line in [
        "\n",
        "fill a\n",
        "  x\n",
        "- a\n",
        "a: b\n",
        "// c\n",
        "--\n",
        "# h\n",
        "fill a\n\n  hat x\n",
    ] {
        report(&line.repeat(40_000 / line.len()));
        report(&format!("title: a\n{}\n", line.repeat(40_000 / line.len())));
    }
}

#[test]
fn empty_files_are_clean() {
    for text in ["", "\n", "\u{feff}", "   \n\t\n", "// only a comment"] {
        let (_, document, diagnostics) = read(text);
        assert!(document.items.is_empty() && document.header.is_empty());
        assert!(!diagnostics.has_errors());
    }
}

#[test]
fn faults_beyond_count_are_counted() {
    let text = format!("fill a\n  play {}\n", "1é ".repeat(20_000));
    let (diagnostics, report) = report(&text);
    assert_eq!(diagnostics.count(Severity::Error), 40_000);
    assert!(report.ends_with("... and 39900 more\n"), "{}", &report[report.len() - 40..]);
}
