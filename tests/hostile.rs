//! Bad input through the whole program: an error or a page, never a panic, never a hang.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use proptest::prelude::*;
use std::path::Path;
use std::sync::LazyLock;
use std::time::{Duration, Instant};

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().unwrap());

/// Every example of the project, for mutation.
static EXAMPLES: LazyLock<Vec<String>> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|path| path.is_file());
    paths.sort();
    let texts = paths.iter().map(|path| std::fs::read_to_string(path).unwrap());
    texts.filter(|text| text.len() < 1500).collect()
});

/// The longest a small file may take in this unoptimised build. The program as it is shipped is
/// several times as fast, and is to take no more than a tenth of a second.
const PATIENCE: Duration = Duration::from_millis(200);

/// Builds a text; whether it came to pages, and what was said.
fn build(text: &str) -> (bool, String) {
    let source = Source::new("hostile.flam", text);
    let mut diagnostics = Diagnostics::default();
    let compiled = flamacue::compile(&source, &FONTS, &mut diagnostics);
    (compiled.is_some(), diagnostics.render(&source, false))
}

/// The quickest of a few builds, so that a busy machine is no fault.
fn quickest(text: &str) -> Duration {
    let mut best = Duration::MAX;
    for _ in 0..8 {
        let start = Instant::now();
        build(text);
        best = best.min(start.elapsed());
        if best < PATIENCE {
            break;
        }
    }
    best
}

fn mutated() -> impl Strategy<Value = String> {
    let signs = prop::sample::select(vec![
        "|",
        "|:",
        ":|",
        "%",
        "[",
        "]",
        "(",
        ")",
        "'",
        "/",
        "~",
        "_",
        "-",
        ".",
        "+",
        ":2",
        ":1/3",
        "^",
        "!",
        "  ",
        "\n",
        "\n\n",
        "--\n",
        "s",
        "K",
        "x4",
        "  count 1 e &\n",
        "time: 7/16\n",
        "é",
        "\t",
        "//",
        "\"",
        "  stick  R L\n",
        "999999999999",
        "  hat x\n",
        "#",
        "@a ",
        "@@",
        "include a.flam\n",
        "part \"A\"\n",
    ]);
    let edit = (any::<prop::sample::Index>(), signs, 0..6_usize);
    (any::<prop::sample::Index>(), prop::collection::vec(edit, 1..12)).prop_map(|(which, edits)| {
        let mut text: Vec<char> = which.get(&EXAMPLES).chars().collect();
        for (at, sign, cut) in edits {
            let at = at.index(text.len() + 1);
            let end = (at + cut).min(text.len());
            text.splice(at..end, sign.chars());
        }
        text.into_iter().collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1500,
        // The seeds mean other files as soon as an example changes.
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_mutated_file_ends_in_a_page_or_in_words(text in mutated()) {
        let (built, said) = build(&text);
        prop_assert!(built || !said.is_empty(), "silent about\n{text}");
        let took = quickest(&text);
        prop_assert!(took < PATIENCE, "{took:?} for\n{text}");
    }

    #[test]
    fn any_characters_end_in_a_page_or_in_words(text in "\\PC{0,300}|[ -~\n]{0,300}|[sk.|: \n'/()\\[\\]x-]{0,300}") {
        let (built, said) = build(&text);
        prop_assert!(built || !said.is_empty());
    }
}

#[test]
fn a_bar_of_ten_thousand_cells_is_a_fault_that_says_so() {
    let one_group = format!("fill a \"A\"\n  play  {}\n", "s".repeat(10_000));
    let many_groups = format!("fill a \"A\"\n  play  {}\n", "s ".repeat(10_000));
    for text in [one_group, many_groups] {
        let (built, said) = build(&text);
        assert!(!built);
        assert!(said.contains("hostile.flam:2:"), "{said}");
    }
}

#[test]
fn a_hundred_thousand_brackets_are_a_fault() {
    for text in ["[".repeat(100_000), "]".repeat(100_000), "(".repeat(100_000)] {
        let (built, said) = build(&format!("fill a \"A\"\n  play  s{text}\n"));
        assert!(!built && !said.is_empty());
        let (built, said) = build(&format!("fill a \"A\"\n  count  1{text}\n"));
        assert!(!built && !said.is_empty());
    }
}

#[test]
fn a_line_of_ten_megabytes_is_a_fault() {
    let (built, said) = build(&"la ".repeat(3_500_000));
    assert!(!built && said.len() < 2_000, "{}", said.len());
}

#[test]
fn an_empty_file_makes_an_empty_page() {
    for text in ["", "\n\n", "// nothing\n", "\u{feff}"] {
        assert!(build(text).0, "{text:?}");
    }
}
