//! The groups and places of marks, for readers of JSON and SVG.

use crate::picture::FONTS;
use flamacue::drawing::{Group, GroupKind, Kind, Mark, Node, Shape};
use flamacue::source::{Diagnostics, Source};

/// The nodes of the picture of a text's first block.
fn nodes(text: &str) -> Vec<Node> {
    let source = Source::new("test.flam", text);
    let mut diagnostics = Diagnostics::default();
    let compiled = flamacue::compile(&source, &FONTS, &mut diagnostics);
    let said = diagnostics.render(&source, false);
    compiled.ok_or(said).unwrap().flat().blocks.remove(0).1.nodes
}

/// All groups of one kind, wherever they stand.
fn groups<'a>(nodes: &'a [Node], is: &dyn Fn(&GroupKind) -> bool) -> Vec<&'a Group> {
    let mut found: Vec<&Group> = Vec::new();
    for node in nodes {
        if let Node::Group(group) = node {
            if is(&group.kind) {
                found.push(group);
            }
            found.extend(groups(&group.children, is));
        }
    }
    found
}

fn marks(nodes: &[Node]) -> Vec<&Mark> {
    let mut found = Vec::new();
    for node in nodes {
        match node {
            Node::Mark(mark) => found.push(mark),
            Node::Group(group) => found.extend(marks(&group.children)),
            Node::Inset(_) => unreachable!("a flat page has none"),
        }
    }
    found
}

fn count(nodes: &[Node], kind: Kind) -> usize {
    marks(nodes).iter().filter(|mark| mark.kind == kind).count()
}

#[test]
fn each_line_of_music_is_a_group_of_all_its_marks() {
    let text = "exercise \"Two lines\"\n  bars: 1\n  tempo: 100\n  \
                play   ss tt ss ss | ss tt ss ss\n  dyn    p | f\n  \
                stick  RL RL RL RL | LR LR LR LR\n";
    let nodes = nodes(text);
    let systems = groups(&nodes, &|kind| *kind == GroupKind::System);
    assert_eq!(systems.len(), 2);
    for (nth, system) in systems.iter().enumerate() {
        let bars = groups(&system.children, &|kind| matches!(kind, GroupKind::Bar { .. }));
        let numbers: Vec<_> = bars.iter().map(|bar| bar.kind.clone()).collect();
        assert_eq!(numbers, [GroupKind::Bar { number: nth + 1 }]);
        assert_eq!(system.place, bars[0].place);
        assert_eq!(count(&system.children, Kind::StaffLine), 5);
        assert_eq!(count(&system.children, Kind::Clef), 1);
        assert_eq!(count(&system.children, Kind::Dynamic), 1);
        assert!(count(&system.children, Kind::Sticking) >= 8);
        assert!(count(&system.children, Kind::Count) >= 8);
    }
    // Outside the lines there are the title and the tempo beside it, and nothing else.
    assert!(count(&nodes, Kind::Tempo) > 0);
    let inside: usize = systems.iter().map(|system| marks(&system.children).len()).sum();
    assert_eq!(
        marks(&nodes).len() - inside,
        count(&nodes, Kind::Title) + count(&nodes, Kind::Number) + count(&nodes, Kind::Tempo)
    );
}

#[test]
fn each_head_of_a_chord_tells_its_own_row() {
    let text = "groove \"Both\"\n  hat    x... x... x... x...\n  snare  x... x(x).. x... (x)...\n";
    let nodes = nodes(text);
    let source = Source::new("test.flam", text);
    let places = |kind: Kind, glyph: &str| {
        let mut places: Vec<(usize, usize)> = marks(&nodes)
            .into_iter()
            .filter(|mark| mark.kind == kind)
            .filter(|mark| match &mark.shape {
                Shape::Glyph { glyph: own, .. } => own.name() == glyph,
                _ => false,
            })
            .map(|mark| {
                // The block starts where the text does.
                let place = source.location(mark.place.unwrap().start());
                (place.line, place.column)
            })
            .collect();
        places.dedup();
        places
    };
    let hats = [(2, 10), (2, 15), (2, 20), (2, 25)];
    assert_eq!(places(Kind::Notehead, "noteheadXBlack"), hats);
    let snares = [(3, 10), (3, 15), (3, 16), (3, 22), (3, 27)];
    assert_eq!(places(Kind::Notehead, "noteheadBlack"), snares);
    assert_eq!(places(Kind::GhostBracket, "noteheadParenthesisLeft"), [(3, 16), (3, 27)]);
    assert_eq!(places(Kind::GhostBracket, "noteheadParenthesisRight"), [(3, 16), (3, 27)]);
}
