//! Several players in one system (Gould, *Behind Bars*, "Layout of the score" and "Full score: percussion",
//! from memory): what sounds together stands under one another, barlines go through, names stand before the
//! staves, and nothing of one player meets what is another's.

use crate::picture::FONTS;
use flamacue::drawing::{Group, GroupKind, Kind, Mark, Node, Shape};
use flamacue::score::Time;
use flamacue::source::{Diagnostics, Source};
use kurbo::{Point, Rect};
use proptest::prelude::*;

/// The systems of a text's first block.
fn systems(text: &str) -> Vec<Group> {
    let source = Source::new("test.flam", text);
    let mut diagnostics = Diagnostics::default();
    let compiled = flamacue::compile(&source, &FONTS, &mut diagnostics);
    let said = diagnostics.render(&source, false);
    let block = compiled.ok_or(said).unwrap().flat().blocks.remove(0).1;
    let mut found = Vec::new();
    groups(&block.nodes, &|kind| *kind == GroupKind::System, &mut found);
    found.into_iter().cloned().collect()
}

fn groups<'a>(nodes: &'a [Node], is: &dyn Fn(&GroupKind) -> bool, found: &mut Vec<&'a Group>) {
    for node in nodes {
        let Node::Group(group) = node else { continue };
        if is(&group.kind) {
            found.push(group);
        }
        groups(&group.children, is, found);
    }
}

fn players(system: &Group) -> Vec<&Group> {
    let mut found = Vec::new();
    groups(&system.children, &|kind| matches!(kind, GroupKind::Player(_)), &mut found);
    found
}

fn marks<'a>(nodes: &'a [Node], found: &mut Vec<&'a Mark>) {
    for node in nodes {
        match node {
            Node::Mark(mark) => found.push(mark),
            Node::Group(group) => marks(&group.children, found),
            Node::Inset(_) => unreachable!("a flat page has none"),
        }
    }
}

fn ink(nodes: &[Node], kind: Kind) -> Vec<Rect> {
    let mut found = Vec::new();
    marks(nodes, &mut found);
    let of_kind = found.into_iter().filter(|mark| mark.kind == kind);
    of_kind.map(|mark| mark.shape.bounds(&FONTS)).collect()
}

fn words(nodes: &[Node], kind: Kind) -> Vec<String> {
    let mut found = Vec::new();
    marks(nodes, &mut found);
    let of_kind = found.into_iter().filter(|mark| mark.kind == kind);
    let text = |mark: &Mark| match &mark.shape {
        Shape::Text { run, .. } => Some(run.text.clone()),
        _ => None,
    };
    of_kind.filter_map(text).collect()
}

/// The first heads of notes of a player's staff, by bar and beat.
fn heads(player: &Group) -> Vec<((usize, Time), f64)> {
    let mut notes = Vec::new();
    groups(&player.children, &|kind| matches!(kind, GroupKind::Note { .. }), &mut notes);
    let head = |note: &&Group| {
        let GroupKind::Note { bar, beat } = note.kind else { return None };
        let mut found = Vec::new();
        marks(&note.children, &mut found);
        let head = found.iter().find(|mark| mark.kind == Kind::Notehead)?;
        let Shape::Glyph { at: Point { x, .. }, .. } = head.shape else { return None };
        Some(((bar, beat), x))
    };
    notes.iter().filter_map(head).collect()
}

const DUET: &str = "exercise \"Two\"\n  bars: 1\n  mark  A\n\n  player \"Teacher\"\n    short: T.\n    play   \
                    |: S.ss t.tt sss F | s s s s :|\n    stick  R.RL R.RL RLR R | R L R L\n  \
                    player \"Student\"\n    play  ssss s s s | .:4\n";

#[test]
fn what_sounds_together_stands_under_one_another() {
    for system in systems(DUET) {
        let players = players(&system);
        let (upper, lower) = (heads(players[0]), heads(players[1]));
        for (when, x) in &upper {
            let same = lower.iter().find(|(other, _)| other == when);
            assert!(same.is_none_or(|(_, other)| (x - other).abs() < 1e-9), "{when:?}");
        }
        // In the order of time whoever plays.
        let mut all: Vec<_> = upper.iter().chain(&lower).collect();
        all.sort_by_key(|(when, _)| *when);
        assert!(all.windows(2).all(|pair| pair[0].1 <= pair[1].1 + 1e-9));
    }
}

#[test]
fn barlines_go_through_and_a_line_and_a_bracket_join_the_staves() {
    let systems = systems(DUET);
    for system in &systems {
        let lines = ink(&system.children, Kind::StaffLine);
        let (top, bottom) = lines.iter().fold((f64::MAX, f64::MIN), |(top, bottom), line| {
            (top.min(line.y0), bottom.max(line.y1))
        });
        let left = lines.iter().map(|line| line.x0).fold(f64::MAX, f64::min);
        let bars = ink(&system.children, Kind::Barline);
        // Whatever x a barline has, its pieces reach from the first staff to the last without a gap.
        for bar in &bars {
            let mut pieces: Vec<Rect> =
                bars.iter().filter(|other| (other.x0 - bar.x0).abs() < 1e-9).copied().collect();
            pieces.sort_by(|a, b| a.y0.total_cmp(&b.y0));
            let reached =
                pieces.iter().fold(top + 0.5, |down, piece| match piece.y0 <= down + 0.1 {
                    true => down.max(piece.y1),
                    false => down,
                });
            assert!(reached >= bottom - 0.5, "{bar:?}: {reached} of {bottom}");
        }
        assert!(bars.iter().any(|bar| (bar.x0 - left).abs() < 1e-9), "the line at the left");
        let bracket = ink(&system.children, Kind::PlayerBracket);
        assert!(bracket.iter().all(|part| part.x0 < left), "before the staves");
        assert!(bracket.iter().any(|part| part.y0 < top && part.y1 > bottom), "around them");
    }
}

#[test]
fn names_stand_before_the_first_line_and_short_ones_before_later_lines() {
    let systems = systems(DUET);
    let names = |system: &Group| words(&system.children, Kind::PlayerName);
    assert_eq!(names(&systems[0]), ["Teacher", "Student"]);
    assert_eq!(names(&systems[1]), ["T.", "St."]);
    for system in &systems {
        let left = ink(&system.children, Kind::PlayerBracket)[0].x0;
        let names = ink(&system.children, Kind::PlayerName);
        assert!(names.iter().all(|name| name.x0 > -1e-9 && name.x1 < left), "{names:?} and {left}");
    }
}

#[test]
fn what_holds_for_all_is_printed_once_over_the_first_staff() {
    let system = &systems(DUET)[0];
    assert_eq!(words(&system.children, Kind::Section), ["A"]);
    assert_eq!(words(&players(system)[0].children, Kind::Section), ["A"]);
    // Both repeats, though one row has the signs.
    for player in players(system) {
        assert_eq!(ink(&player.children, Kind::RepeatDot).len(), 2);
    }
}

#[test]
fn who_rests_for_a_line_may_be_left_out_of_it() {
    let hidden = DUET.replace("bars: 1\n", "bars: 1\n  empty-players: hide\n");
    let count = |text: &str| systems(text).iter().map(|s| players(s).len()).collect::<Vec<_>>();
    assert_eq!((count(DUET), count(&hidden)), (vec![2, 2], vec![2, 1]));
}

#[test]
fn bars_rest_together_only_where_all_do() {
    let text = |other: &str| {
        format!(
            "exercise \"R\"\n  player \"A\"\n    play  s s s s | | | | s s s s\n  player \"B\"\n    play  {other}\n"
        )
    };
    let rests = |text: &str| ink(&systems(text)[0].children, Kind::Rest).len();
    let (alone, together) =
        (text("s s s s | s . . . | . . . . | | s s s s"), text("s s s s | | | | s s s s"));
    // A rest for each bar of the first against one sign over three bars for each.
    assert!(rests(&alone) > 4, "{}", rests(&alone));
    assert_eq!(words(&systems(&together)[0].children, Kind::BarRepeat).len(), 0);
    assert!(rests(&together) < rests(&alone));
}

/// A bar of four beats for one player.
fn bar() -> impl Strategy<Value = String> {
    // A tick stands right before the letter it belongs to.
    let cells = ["s", "s", "S", "k", "t", "f", "C", "'s", "'t", ".", "h", "m"];
    let beat = prop::collection::vec(prop::sample::select(cells.to_vec()), 1..6);
    let beat = beat.prop_map(|cells| cells.concat());
    prop::collection::vec(beat, 4).prop_map(|beats| beats.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_ink_of_one_player_meets_that_of_another(rows in prop::collection::vec((bar(), bar()), 2..5)) {
        let mut text = "exercise \"Any\"\n".to_owned();
        for (index, (one, two)) in rows.iter().enumerate() {
            text.push_str(&format!("  player \"P{index}\"\n    play  {one} | {two}\n    dyn  p | f\n"));
        }
        for system in systems(&text) {
            let boxes = |player: &Group| {
                let mut found = Vec::new();
                marks(&player.children, &mut found);
                let mut strips: Vec<Rect> = Vec::new();
                found.iter().for_each(|mark| mark.shape.each_strip(&FONTS, |strip| strips.push(strip)));
                strips
            };
            let inks: Vec<Vec<Rect>> = players(&system).into_iter().map(boxes).collect();
            for (index, upper) in inks.iter().enumerate() {
                for lower in inks.iter().skip(index + 1) {
                    let meet = upper.iter().any(|a| lower.iter().any(|b| {
                        a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
                    }));
                    prop_assert!(!meet, "{text}");
                }
            }
            let left = ink(&system.children, Kind::StaffLine)[0].x0;
            let heads: Vec<_> = players(&system).into_iter().flat_map(heads).collect();
            prop_assert!(heads.iter().all(|(_, x)| *x > left));
            // What sounds together stands at one x, whoever plays it, but for seconds beside a chord.
            for ((when, x), (other, y)) in heads.iter().flat_map(|a| heads.iter().map(move |b| (a, b))) {
                prop_assert!(when != other || (x - y).abs() < 1.5, "{when:?} {text}");
            }
        }
    }
}
