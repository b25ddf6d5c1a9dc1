//! Levels, goals and ranges of tempo: what is printed, listed, read aloud and played.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that fails panics")]

use flamacue::drawing::{Kind, Mark, Node, Shape};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

const TEXT: &str = "title: Evenings
level: second year
index: levels

exercise \"Hard\"
  level: 4
  tempo: 60-120
  goal: 130
  play  s s s s

exercise \"Rainy\"
  level: for a rainy evening
  play  s s s s

exercise \"Easy\"
  level: 2
  tempo: 92 unprinted
  play  s s s s

exercise \"As hard\"
  level: 4
  play  s s s s

exercise \"Without\"
  play  s s s s
";

fn marks(text: &str) -> Vec<Mark> {
    let source = Source::new("levels.flam", text);
    let mut diagnostics = Diagnostics::default();
    let pages = flamacue::compile_pages(&source, &FONTS, None, &mut diagnostics);
    let pages = pages.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    let mut marks = Vec::new();
    pages.pages.iter().for_each(|page| collect(&page.nodes, &mut marks));
    marks
}

fn collect(nodes: &[Node], marks: &mut Vec<Mark>) {
    for node in nodes {
        match node {
            Node::Group(group) => collect(&group.children, marks),
            Node::Mark(mark) => marks.push(mark.clone()),
            Node::Inset(inset) => collect(inset.marks.nodes(), marks),
        }
    }
}

fn words(text: &str, kind: Kind) -> Vec<String> {
    let of = |mark: Mark| match mark.shape {
        Shape::Text { run, .. } if mark.kind == kind => Some(run.text.clone()),
        _ => None,
    };
    marks(text).into_iter().filter_map(of).collect()
}

/// A hollow star has a second outline inside.
#[test]
fn five_stars_stand_beside_a_title_as_many_filled_as_it_says() {
    let stars = marks(TEXT).into_iter().filter(|mark| mark.kind == Kind::Level);
    let outlines: Vec<usize> = stars
        .filter_map(|mark| match mark.shape {
            Shape::Path(path) => Some(path.to_svg().matches('M').count()),
            _ => None,
        })
        .collect();
    assert_eq!(outlines, [1, 1, 1, 1, 2, 1, 1, 2, 2, 2, 1, 1, 1, 1, 2]);
    assert_eq!(words(TEXT, Kind::Level), ["for a rainy evening"]);
}

#[test]
fn a_range_and_a_goal_are_printed_and_an_unprinted_tempo_is_not() {
    assert_eq!(words(TEXT, Kind::Tempo), ["= 60\u{2013}120", "Goal", "= 130"]);
    let german = TEXT.replace("index: levels", "language: de");
    assert_eq!(words(&german, Kind::Tempo)[1], "Ziel");
}

#[test]
fn the_index_goes_from_the_easiest_to_the_hardest() {
    let all = words(TEXT, Kind::Text).join(" ");
    let at = |words: &str| all.find(words).unwrap_or_else(|| panic!("{words}: {all}"));
    assert!(at("Level 2") < at("Level 4") && at("Level 4") < at("for a rainy evening"), "{all}");
    assert_eq!(all.matches("Level 4").count(), 1, "{all}");
}

#[test]
fn levels_are_read_aloud_on_screens() {
    let source = Source::new("levels.flam", TEXT);
    let flowing = flamacue::compile_flowing(&source, &FONTS, None, &mut Diagnostics::default());
    let flowing = flowing.expect("a body");
    let page = flamacue::write::html::write(&flowing, &FONTS).expect("a page");
    assert_eq!(page.matches("aria-label=\"Level 4 of 5\"").count(), 2);
    assert!(page.contains("<span class=\"lv\">for a rainy evening</span>"));
    assert!(page.contains("aria-label=\"Hard. Level 4 of 5. Bar 1"));
}

#[test]
fn a_range_is_played_at_its_lower_end_and_an_unprinted_tempo_is_played() {
    let score = |tempo: &str| {
        let text = format!("exercise\n  tempo: {tempo}\n  play  s s s s\n");
        flamacue::read(&Source::new("t.flam", text), &mut Diagnostics::default()).expect("a score")
    };
    let last = |tempo: &str| {
        let score = score(tempo);
        let flamacue::score::Item::Block(block) = score.items.first().expect("an item") else {
            panic!("music")
        };
        let timeline = flamacue::perform::Timeline::of(block);
        timeline.notes.last().expect("a note").seconds
    };
    assert_eq!(last("60-120"), last("60"));
    assert_eq!(last("92 unprinted"), last("92"));
}
