//! The notation key: what is played and no more, in order, and its names clear of each other.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

mod built;

use built::{clean, groups};
use flamacue::drawing::{GroupKind, Kind, Mark, Node, Shape};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use flamacue::{Compiled, compile_flowing};
use kurbo::Rect;

fn fonts() -> Fonts {
    Fonts::built_in().expect("the built-in faces")
}

fn compiled(text: &str) -> Compiled {
    clean(&fonts(), "key.flam", text).unwrap_or_else(|found| panic!("{found}"))
}

/// What the key's lines say they hold, and the page they are on.
fn keys(compiled: &Compiled) -> Vec<(usize, Vec<String>)> {
    let mut found = Vec::new();
    for (number, page) in compiled.drawing.pages.iter().enumerate() {
        for group in groups(page) {
            if let GroupKind::Block { title, .. } = &group.kind
                && let Some(names) = title.strip_prefix("Notation key: ")
            {
                found.push((number, names.split(", ").map(str::to_owned).collect()));
            }
        }
    }
    found
}

fn names(text: &str) -> Vec<String> {
    keys(&compiled(text)).into_iter().flat_map(|(_, names)| names).collect()
}

const MUSIC: &str =
    "groove home \"Home\"\n  hat    x.x. x.o.\n  snare  .... X..g\n  kick   x..x ..x.\n";

#[test]
fn the_key_holds_what_is_played_from_the_bottom_up_and_then_the_signs() {
    let text = format!("key: first page\ntime: 2/4\n\n{MUSIC}");
    assert_eq!(
        names(&text),
        ["bass drum", "snare drum", "hi-hat", "accent", "ghost note", "open hi-hat"]
    );
}

#[test]
fn there_is_no_key_unless_it_is_asked_for() {
    assert!(names(&format!("time: 2/4\n\n{MUSIC}")).is_empty());
    assert!(names(&format!("key: none\ntime: 2/4\n\n{MUSIC}")).is_empty());
}

#[test]
fn what_is_made_from_a_block_counts_as_played() {
    let made = "key: last page\n\nfill a \"A\"\n  play  S.ss s.ss s.ss s\n\n\
                variation of a \"B\"\n  gaps: (f)\n\nvariation of a \"C\"\n  accents: crash with kick\n";
    let found = names(made);
    for name in ["floor tom", "crash cymbal", "bass drum", "ghost note"] {
        assert!(found.iter().any(|n| n == name), "{name} is not in {found:?}");
    }
    let series =
        "key: last page\ntime: 2/4\n\nseries\n  accents: 1 of ssss ssss\n  sticking: alternate\n";
    assert_eq!(names(series), ["snare drum", "accent", "right hand", "left hand"]);
}

#[test]
fn a_kit_is_named_as_it_names_itself() {
    let text = "key: first page\n\nkit\n  j little-gong, above 3, triangle\n  c crash, line 5, circled-x\n  \
                v never, above 4\n\nfill\n  play  j j c c\n";
    assert_eq!(names(text), ["crash cymbal", "little gong"]);
}

#[test]
fn letters_that_are_hidden_are_not_explained() {
    let text = "key: first page\nsticking: none\n\nfill\n  play   ss ss s s\n  stick  RL RL R L\n";
    assert_eq!(names(text), ["snare drum"]);
    let shown = text.replace("sticking: none\n", "");
    assert_eq!(names(&shown), ["snare drum", "right hand", "left hand"]);
}

#[test]
fn the_key_is_no_exercise_and_stands_where_it_is_asked_for() {
    let fills: String =
        (0..40).map(|n| format!("fill \"Number {n}\"\n  play  ssss tttt mmmm f\n\n")).collect();
    for (at, first) in [("first page", true), ("last page", false)] {
        let text = format!("title: Forty\ncontents: exercises\nkey: {at}\n\n{fills}");
        let compiled = compiled(&text);
        let keys = keys(&compiled);
        let wanted = if first { 0 } else { compiled.drawing.pages.len() - 1 };
        assert!(!keys.is_empty() && keys.iter().all(|(page, _)| *page == wanted), "{at}");
        // It is listed where the contents stand before it, and never among the exercises.
        let outline = &compiled.drawing.outline;
        assert_eq!(outline.len(), 40 + usize::from(!first));
        let mut exercises = outline.iter().filter(|entry| entry.level == 3);
        assert!(exercises.clone().count() == 40 && exercises.all(|e| !e.title.contains("key")));
        assert_eq!(compiled.blocks.len(), 40);
    }
}

/// Everything a key can hold, on three widths of paper: names keep clear of each other, and nothing
/// leaves the margins.
#[test]
fn names_never_touch() {
    let fonts = fonts();
    for paper in ["a6", "a4", "a3 landscape"] {
        let text = format!(
            "page: {paper}\nkey: first page\n\nkit\n  v {long}, above 5, slash\n\n\
             fill\n  play  S^s(s)'s ''s'''ss/s// s///s~ksx t | tmfh opr.b c!dln ws.v\n  \
             pedal R | L\n\nfill\n  stick  RLB. R L R\n\ngroove\n  hat  xoh. .... .... ....\n",
            long = "extraordinarilylong-name-of-a-drum-nobody-plays"
        );
        let source = Source::new("key.flam", &text);
        let mut diagnostics = Diagnostics::default();
        let compiled = flamacue::compile(&source, &fonts, &mut diagnostics)
            .unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)))
            .flat();
        let held: Vec<String> = keys(&compiled).into_iter().flat_map(|(_, names)| names).collect();
        assert_eq!(held.len(), 16 + 18, "{held:?}");
        for page in &compiled.drawing.pages {
            for group in groups(page) {
                if !matches!(&group.kind, GroupKind::Block { title, .. } if title.starts_with("Notation key"))
                {
                    continue;
                }
                let ink: Vec<(bool, Rect)> = group
                    .children
                    .iter()
                    .filter_map(|node| Some((is_name(node), node.bounds(&fonts)?)))
                    .collect();
                // No note reaches back into the clef, whichever comes first on a line.
                let clefs = flat(&group.children, Kind::Clef);
                assert!(!clefs.is_empty(), "{paper}: a line of the key without a clef");
                let others = [Kind::Notehead, Kind::Grace, Kind::Stem, Kind::GhostBracket];
                for clef in clefs.iter().map(|mark| mark.shape.bounds(&fonts)) {
                    for mark in others.iter().flat_map(|kind| flat(&group.children, *kind)) {
                        assert!(mark.shape.bounds(&fonts).x0 > clef.x1, "{paper}: {mark:?}");
                    }
                }
                for (at, (name, one)) in ink.iter().enumerate() {
                    assert!(one.x0 > 10.0 && one.x1 < page.width - 10.0, "{paper}: {one:?}");
                    for (_, other) in ink.iter().skip(at + 1).filter(|(other, _)| *name || *other) {
                        let both = one.intersect(*other);
                        assert!(both.width() <= 0.0 || both.height() <= 0.0, "{paper}: {one:?}");
                    }
                }
            }
        }
    }
}

/// All marks of a kind under some nodes.
fn flat(nodes: &[Node], kind: Kind) -> Vec<&Mark> {
    let mut found = Vec::new();
    let mut waiting: Vec<&Node> = nodes.iter().collect();
    while let Some(node) = waiting.pop() {
        match node {
            Node::Mark(mark) if mark.kind == kind => found.push(mark),
            Node::Mark(_) => {}
            Node::Group(group) => waiting.extend(&group.children),
            Node::Inset(_) => unreachable!("a flat page has none"),
        }
    }
    found
}

fn is_name(node: &Node) -> bool {
    matches!(node, Node::Mark(mark) if mark.kind == Kind::Words)
}

/// The notes of all lines stand under each other and equally far apart.
#[test]
fn notes_stand_at_one_distance() {
    let text =
        "key: first page\n\nfill\n  play  kstmf hopr. bcdln x\n\ngroove\n  hat  x. x. x. x.\n";
    let compiled = compiled(text);
    let page = &compiled.drawing.pages[0];
    let (mut lines, mut compared) = (0, 0);
    for group in groups(page) {
        if !matches!(&group.kind, GroupKind::Block { title, .. } if title.starts_with("Notation key"))
        {
            continue;
        }
        let heads = marks_of(&group.children, Kind::Words);
        let xs: Vec<f64> =
            heads.iter().map(|mark| mark.shape.bounds(&fonts()).center().x).collect();
        let steps: Vec<f64> =
            xs.windows(2).map(|pair| pair[1] - pair[0]).filter(|s| *s > 5.0).collect();
        assert!(steps.iter().all(|step| (step - steps[0]).abs() < 1.5), "{steps:?}");
        compared += steps.len();
        lines += 1;
    }
    assert!(lines >= 2 && compared >= 8, "{compared} distances on {lines} lines");
}

fn marks_of(nodes: &[Node], kind: Kind) -> Vec<&Mark> {
    let marks = nodes.iter().filter_map(|node| match node {
        Node::Mark(mark) => Some(mark),
        Node::Group(_) | Node::Inset(_) => None,
    });
    marks.filter(|m| m.kind == kind && matches!(m.shape, Shape::Text { .. })).collect()
}

#[test]
fn a_web_page_has_the_key_too() {
    let text = format!("key: last page\ntime: 2/4\n\n{MUSIC}");
    let source = Source::new("key.flam", &text);
    let fonts = fonts();
    let flowing = compile_flowing(&source, &fonts, None, &mut Diagnostics::default());
    let page = flamacue::write::html::write(&flowing.expect("a body"), &fonts).expect("a page");
    let (music, key) =
        (page.find("Home"), page.find("Notation key: bass drum, snare drum, hi-hat"));
    assert!(music.is_some() && music < key);
}

/// A key under the title stands over the contents, and is not listed.
#[test]
fn the_contents_list_a_key_that_follows_them() {
    let lists = |header: &str| {
        let text = format!(
            "title: A book\ncontents: headings\n{header}\ntime: 2/4\n\n# Chapter\n\n{MUSIC}"
        );
        let source = Source::new("key.flam", &text);
        let pages = flamacue::compile_pages(&source, &fonts(), None, &mut Diagnostics::default());
        let pages = pages.expect("pages");
        let outline: Vec<String> =
            pages.outline.iter().filter(|e| e.level < 3).map(|e| e.title.to_string()).collect();
        let json = flamacue::write::json::write(&pages);
        (outline, json.matches("Notation key").count())
    };
    // The heading, its entry and what is said of its line.
    let (under_title, without) = lists("key: first page");
    assert_eq!(under_title, ["Chapter"]);
    for (header, order) in [
        ("key: last page", ["Chapter", "Notation key"]),
        ("key: first page\ntitle-page: on", ["Notation key", "Chapter"]),
    ] {
        let (outline, found) = lists(header);
        assert_eq!(outline, order);
        assert!(found > without, "{header}: {found}");
    }
}
