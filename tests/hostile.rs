//! Bad input through the whole program: an error or a page, never a panic, never a hang.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod made_fonts;

use flamacue::font::{FaceStyle, Fonts, MusicFont};
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

/// The longest the making of a small text may take in this unoptimised build, before its limit is met.
const WORK: Duration = Duration::from_secs(4);

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

/// Texts of a few lines that ask for work without end: what they make is searched for quickly, or is a fault.
#[test]
fn a_few_lines_take_no_more_work_than_their_length_allows() {
    let gaps = "  gaps: kk\n".repeat(5);
    let bars = vec!["s.s. ss [ss]s s"; 32].join(" | ");
    let mixed = "sss [sss][ss][sssss] sssss [sssssss]s[sss] | ssssssss [sss]ss [ss][sssss] sss";
    let texts = [
        format!("columns: 2\n\nseries\n  notes: 3 of 16\n{gaps}"),
        format!("columns: 4\n\nseries\n  notes: 5 of 12\n{gaps}"),
        "columns: 2\ntime: 64/4\n\nseries\n  notes: 4 of 16\n".to_owned(),
        format!("groove g\n  play  {bars}\n\nvariation of g\n{gaps}"),
        format!("fill p\n  play  {mixed}\n\nseries of p\n  turns: yes\n"),
    ];
    for text in texts {
        let start = Instant::now();
        let source = Source::new("hostile.flam", text.as_str());
        flamacue::understand(&source, &mut Diagnostics::default());
        let took = start.elapsed();
        assert!(took < WORK, "{took:?} for\n{text}");
    }
}

#[test]
fn what_is_made_has_a_limit_that_names_the_block_and_can_be_raised() {
    let text = "exercise a\n  play  s s s s\n\nvariation of a\n  taps: ghost\n\nseries \"Four\"\n  time: 64/4\n  notes: 4 of 16\n";
    let source = Source::new("hostile.flam", text);
    let usual = flamacue::derive::Budget::of(&source);
    let mut found = Diagnostics::default();
    flamacue::understand_within(&source, usual, &mut found);
    let said = found.render(&source, false);
    assert!(said.contains("error: series: ") && said.contains("--limit"), "{said}");
    assert!(said.contains("hostile.flam:7:"), "{said}");
    let mut found = Diagnostics::default();
    flamacue::understand_within(&source, usual.times(10), &mut found);
    assert!(!found.has_errors(), "{}", found.render(&source, false));
}

/// Rows that are written have no such limit.
#[test]
fn what_is_written_out_by_hand_meets_no_limit() {
    let block = format!("fill\n  play  {}\n\n", vec!["ssss ssss ssss ssss"; 40].join(" | "));
    let text = block.repeat(40);
    let source = Source::new("long.flam", text.as_str());
    let mut found = Diagnostics::default();
    let least = flamacue::derive::Budget::of(&Source::new("empty.flam", ""));
    flamacue::understand_within(&source, least, &mut found);
    assert!(!found.has_errors(), "{}", found.render(&source, false));
}

/// A picture of so many pixels would fill the memory.
#[test]
#[cfg(feature = "png")]
fn a_picture_of_a_page_as_large_as_a_wall_is_refused_before_it_is_drawn() {
    use flamacue::write::png;
    let source = Source::new("wall.flam", "paper: 1200 x 1200\n\nA wall.\n");
    let made = flamacue::compile_pages(&source, &FONTS, None, &mut Diagnostics::default());
    let page = made.unwrap().pages.remove(0);
    let refused = png::write(&page, &FONTS, png::PngOptions::default()).unwrap_err();
    assert!(refused.0.contains("million pixels are the most; use a smaller --scale"), "{refused}");
}

#[test]
fn a_font_whose_glyphs_unfold_without_end_is_refused() {
    let prefer = |depth| {
        let file = ("own.ttf".to_owned(), made_fonts::of_glyphs_in_glyphs(depth));
        Fonts::built_in().unwrap().text.prefer(&[file])
    };
    prefer(3).unwrap();
    for depth in [12, 30, 500] {
        let refused = prefer(depth).unwrap_err();
        assert!(refused.0.contains("too many parts"), "{refused}");
    }
}

/// Words set in a font of the test, or why it is refused.
fn set_in(font: Vec<u8>) -> Result<(), String> {
    let mut fonts = Fonts::built_in().unwrap();
    fonts.text.prefer(&[("own.otf".to_owned(), font)]).map_err(|refused| refused.0)?;
    let source = Source::new("hostile.flam", "title: ABBA\n\nAb ba.\n");
    let made = flamacue::compile_pages(&source, &fonts, None, &mut Diagnostics::default());
    flamacue::write::pdf::write(&made.unwrap(), &fonts).unwrap();
    Ok(())
}

#[test]
fn a_font_whose_glyphs_call_subroutines_without_end_is_refused() {
    set_in(made_fonts::of_calls_in_calls(3, 8)).unwrap();
    // Those that draw glyphs stop at ten inside one another, those that embed them later.
    for (depth, times) in [(8, 10), (10, 100), (30, 2)] {
        let start = Instant::now();
        let refused = set_in(made_fonts::of_calls_in_calls(depth, times)).unwrap_err();
        assert!(refused.contains("its glyph 1 is made of too many parts"), "{refused}");
        assert!(start.elapsed() < WORK);
        let music = MusicFont::from_files(made_fonts::of_calls_in_calls(depth, times), "{}");
        assert!(music.unwrap_err().0.contains("its glyph 1 is made of too many parts"));
    }
}

/// They are full of subroutines.
#[test]
fn the_faces_of_the_program_are_fonts_it_takes() {
    let fonts = Fonts::built_in().unwrap();
    for style in FaceStyle::ALL {
        let data = fonts.text.data(fonts.text.face_of('A', style)).to_vec();
        set_in(data).unwrap();
    }
    let metadata = include_str!("../fonts/calfskin/calfskin_metadata.json");
    MusicFont::from_files(fonts.music.data().to_vec(), metadata).unwrap();
}

/// Each glyph alone takes fewer steps than there may be.
#[test]
fn a_font_whose_glyphs_together_take_too_long_is_refused() {
    let local: Vec<Vec<u8>> = (0..6_u8)
        .map(|nth| match nth.checked_sub(1) {
            None => vec![140, 140, 5, 11],
            Some(before) => [made_fonts::call(before, false).repeat(10), vec![11]].concat(),
        })
        .collect();
    let glyph = made_fonts::triangle(&made_fonts::call(5, false));
    let refused = set_in(made_fonts::of_programs(&vec![glyph; 1_000], &local, &[])).unwrap_err();
    assert!(refused.contains("its glyphs are made of too many parts"), "{refused}");
}

/// What readers understand otherwise than one another could be small for one and endless for another.
#[test]
fn a_font_that_readers_do_not_agree_on_is_refused() {
    let of = |then: &[u8]| {
        let calls = made_fonts::call(0, true);
        made_fonts::of_programs(&[made_fonts::triangle(&[&calls, then].concat())], &[], &[vec![11]])
    };
    set_in(of(&[])).unwrap();
    // Two hints, a mask of them, and two more after it.
    let late = [140, 140, 140, 140, 18, 19, 0xC0, 140, 140, 23];
    for (then, why) in [
        (&late[..], "its glyph 0 has hints in the midst of its outline"),
        (&[140, 140, 204, 204], "its glyph 0 is put together from two others"),
    ] {
        let refused = set_in(of(then)).unwrap_err();
        assert!(refused.contains(why), "{refused}");
    }
}

/// A list of 4,294,967,295 characters in a file of some hundred bytes.
#[test]
fn a_font_that_says_it_has_more_characters_than_it_can_hold_has_none() {
    for whole in [made_fonts::of_glyphs_in_glyphs(3), made_fonts::of_calls_in_calls(3, 2)] {
        // The kind of list, where it stands, becomes that of long lists; their length comes ten bytes later.
        let kind = [0, 4, 0, 40, 0, 0];
        let at = whole.windows(kind.len()).position(|bytes| bytes == kind).unwrap();
        for kind in [10, 12, 13] {
            let mut broken = whole.clone();
            broken[at + 1] = kind;
            broken[at + 12..at + 20].fill(0xFF);
            let _ = MusicFont::from_files(broken.clone(), "{}");
            let _ = set_in(broken);
        }
    }
}

/// What is cut off or overwritten is a fault or a font, and no panic.
#[test]
fn a_broken_font_file_is_a_fault() {
    for whole in [made_fonts::of_glyphs_in_glyphs(3), made_fonts::of_calls_in_calls(3, 2)] {
        for at in 0..whole.len() {
            for byte in [0, 0x7F, 0xFF] {
                let mut broken = whole.clone();
                broken[at] = byte;
                let mut fonts = Fonts::built_in().unwrap().text;
                let _ = fonts.prefer(&[("own.ttf".to_owned(), broken)]);
            }
            let mut fonts = Fonts::built_in().unwrap().text;
            let _ = fonts.prefer(&[("own.ttf".to_owned(), whole[..at].to_vec())]);
        }
    }
}
