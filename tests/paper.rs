//! Nothing leaves the paper: all ink of every page lies within it, whatever the text, or there is a
//! word about it.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used)]

mod built;

use built::{files, marks};
use flamacue::compile;
use flamacue::drawing::{Drawing, Kind, Shape};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use proptest::prelude::*;
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

/// Rounding of places, in points.
const NEAR: f64 = 0.01;

/// The pages of a text and what was said of it; nothing where it has faults.
fn pages(name: &str, text: &str) -> Option<(Drawing, String)> {
    let read = |path: &str| std::fs::read_to_string(path).map_err(|error| error.to_string());
    let source = flamacue::syntax::gather(Source::new(name, text), &read);
    let mut diagnostics = Diagnostics::default();
    let compiled = compile(&source, &FONTS, &mut diagnostics)?;
    Some((compiled.flat().drawing, diagnostics.render(&source, false)))
}

/// What lies beyond the edge of its page.
fn beyond(drawing: &Drawing) -> Vec<(usize, Kind)> {
    let mut found = Vec::new();
    for (index, page) in drawing.pages.iter().enumerate() {
        for mark in marks(page) {
            let ink = mark.shape.bounds(&FONTS);
            let across = ink.x0 >= -NEAR && ink.x1 <= page.width + NEAR;
            let down = ink.y0 >= -NEAR && ink.y1 <= page.height + NEAR;
            if !(across && down) {
                found.push((index + 1, mark.kind));
            }
        }
    }
    found
}

#[test]
fn examples_stay_on_their_paper() {
    for path in ["examples", "demo"].into_iter().flat_map(files) {
        let name = path.to_str().expect("a name").to_owned();
        let text = std::fs::read_to_string(&path).expect("an example");
        let (drawing, _) = pages(&name, &text).expect("a clean example");
        assert_eq!(beyond(&drawing), [], "{name}");
    }
}

/// Tall letters over a page whose margin is hardly taller.
#[test]
fn a_running_head_stays_on_a_small_page() {
    let text = "title: x\npage: 60 x 60 mm\nstaff-height: 17 mm\nrunning-heads: on\nkey: last page\n\n\
                part \"x\"\n\n# x\n\nfill \"x\"\n  play ssss tttt mm f | s s s s\n";
    let (drawing, said) = pages("head", text).expect("a clean text");
    let heads = drawing.pages.iter().flat_map(marks).filter(|m| m.kind == Kind::RunningHead);
    let words = heads.filter_map(|mark| match &mark.shape {
        Shape::Text { run, .. } => Some(run.text.clone()),
        _ => None,
    });
    assert!(words.collect::<Vec<_>>().contains(&"Notation key".to_owned()), "{said}");
    assert_eq!(beyond(&drawing), [], "{said}");
}

/// A word, a sentence or neither, of a length that fits nowhere.
fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        (1..400_usize).prop_map(|n| "x".repeat(n)),
        (1..120_usize).prop_map(|n| vec!["on"; n].join(" ")),
        (1..60_usize).prop_map(|n| vec!["Fortepiano"; n].join("-")),
    ]
}

fn paper() -> impl Strategy<Value = String> {
    let styles = prop::sample::select(vec!["handout", "book", "stand"]);
    (60..400_u32, 60..400_u32, styles, prop::option::of(3..20_u32)).prop_map(
        |(width, height, style, staff)| {
            let staff = staff.map_or(String::new(), |mm| format!("staff-height: {mm} mm\n"));
            format!("page: {width} x {height} mm\nstyle: {style}\n{staff}")
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn long_words_stay_on_any_paper(
        paper in paper(),
        head in words(),
        title in words(),
        over in words(),
        prose in words(),
        title_page in prop::bool::ANY,
        columns in 1..4_u32,
    ) {
        let title_page = if title_page { "title-page: on\n" } else { "" };
        let text = format!(
            "title: {head}\nsubtitle: {title}\nauthor: {over}\nlevel: {head}\ncopyright: {prose}\n{paper}\
             {title_page}columns: {columns}\ncontents: exercises\nindex: both\nrunning-heads: on\nkey: last page\n\n\
             part \"{over}\"\n\n# {title}\n\n{prose}\n\n- {prose}\n\n\
             fill \"{title}\"\n  tags: {head}\n  tempo: 90 \"{over}\"\n  mark \"{over}\" . . dc | tempo=90 \"{prose}\"\n  \
             play ssss tttt mm f | s s s s\n\n{over}\n\nfill\n  tempo: 90 \"{over}\"\n  play s s s s\n"
        );
        let (drawing, said) = match pages("long", &text) {
            Some(set) => set,
            None => return Err(TestCaseError::reject("a fault")),
        };
        prop_assert_eq!(beyond(&drawing), vec![], "{}\n{}", said, text);
    }

    #[test]
    fn music_taller_than_its_paper_is_told_of(
        height in 60..120_u32,
        staff in 3..20_u32,
        bars in 1..80_usize,
        columns in 1..4_u32,
    ) {
        let bar = |cells: &str| vec![cells; bars].join(" | ");
        let text = format!(
            "page: 300 x {height} mm\nstaff-height: {staff} mm\ncolumns: {columns}\n\nfill \"A\"\n  tempo: 90\n  \
             hat {}\n  crash {}\n  kick {}\n  stick {}\n  pedal {}\n  dyn p\n  say a b c d\n",
            bar("x x x x"), bar("x . . ."), bar("x x x x"), bar("R R R R"), bar("R R R R"),
        );
        let (drawing, said) = pages("tall", &text).expect("a text without faults");
        prop_assert_eq!(beyond(&drawing), vec![], "{}\n{}", said, text);
    }
}
