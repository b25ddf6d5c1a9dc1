//! Small notes over the staff (Gould, *Behind Bars*, "Cues", from memory): two thirds to three quarters of the
//! size, over what they stand with, and in its columns.

use crate::picture::FONTS;
use flamacue::drawing::{Group, GroupKind, Kind, Mark, Node, Shape};
use flamacue::source::{Diagnostics, Source};

const TEXT: &str =
    "exercise\n  band  .x .X sss:2 | x - - - | .:4\n  play  / S.ss / C | / / / / | s s s s\n";

fn nodes(text: &str) -> Vec<Node> {
    let source = Source::new("test.flam", text);
    let mut found = Diagnostics::default();
    let compiled = flamacue::compile(&source, &FONTS, &mut found);
    let said = found.render(&source, false);
    compiled.ok_or(said).unwrap().flat().blocks.remove(0).1.nodes
}

/// The marks inside small notes, and those outside.
fn split(nodes: &[Node]) -> (Vec<Mark>, Vec<Mark>) {
    let (mut small, mut full) = (Vec::new(), Vec::new());
    fn walk(nodes: &[Node], inside: bool, small: &mut Vec<Mark>, full: &mut Vec<Mark>) {
        for node in nodes {
            match node {
                Node::Mark(mark) if inside => small.push(mark.clone()),
                Node::Mark(mark) => full.push(mark.clone()),
                Node::Group(group) => {
                    let Group { kind, children, .. } = &**group;
                    walk(children, inside || *kind == GroupKind::SmallNotes, small, full);
                }
                Node::Inset(_) => unreachable!("a flat page has none"),
            }
        }
    }
    walk(nodes, false, &mut small, &mut full);
    (small, full)
}

fn size(mark: &Mark) -> f64 {
    match &mark.shape {
        Shape::Glyph { space, .. } => *space,
        Shape::Box(_) | Shape::Path(_) | Shape::Picture { .. } | Shape::Text { .. } => panic!(),
    }
}

#[test]
fn small_notes_are_smaller_and_stand_over_the_rest() {
    let (small, full) = split(&nodes(&TEXT.replace("sss", "xxx")));
    let heads = |marks: &[Mark]| {
        marks.iter().filter(|mark| mark.kind == Kind::Notehead).cloned().collect::<Vec<Mark>>()
    };
    let (small_heads, full_heads) = (heads(&small), heads(&full));
    assert_eq!((small_heads.len(), full_heads.len()), (6, 14));
    let ratio = size(&small_heads[0]) / size(&full_heads[0]);
    assert!((2.0 / 3.0..=0.75).contains(&ratio), "{ratio}");
    let bounds = |mark: &Mark| mark.shape.bounds(&FONTS);
    let middle = |mark: &Mark| bounds(mark).center().x;
    let height = bounds(&small_heads[0]).center().y;
    for head in &small_heads {
        assert!((bounds(head).center().y - height).abs() < 1e-6, "all at one height");
        for mark in &full {
            let (over, under) = (bounds(head), bounds(mark));
            let beside = over.x1 <= under.x0 || over.x0 >= under.x1;
            assert!(
                beside
                    || mark.kind == Kind::Title
                    || mark.kind == Kind::Number
                    || over.y1 < under.y0
            );
        }
    }
    // What begins together stands together: the first note of the triplet over the third slash.
    assert!((middle(&small_heads[2]) - middle(&full_heads[4])).abs() < 1.5);
    // The last bar has none.
    let last = full.iter().filter(|mark| mark.kind == Kind::Barline).map(|mark| bounds(mark).x0);
    let bars: Vec<f64> = last.collect();
    assert!(small.iter().all(|mark| bounds(mark).x1 < bars[1]));
}

#[test]
fn what_the_band_plays_gets_no_count_and_no_letter() {
    let with = nodes(&TEXT.replace("sss", "xxx"));
    let rows: Vec<&str> = TEXT.lines().filter(|line| !line.contains("band")).collect();
    let without = nodes(&(rows.join("\n") + "\n"));
    let words = |nodes: &[Node]| {
        let all = split(nodes).1.into_iter();
        all.filter(|mark| matches!(mark.kind, Kind::Count | Kind::Sticking)).count()
    };
    assert_eq!(words(&with), words(&without));
}
