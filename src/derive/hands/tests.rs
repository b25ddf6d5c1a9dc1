//! Rules of sticking against what a drummer plays, and laws that hold for every phrase.

use super::{economy, rule};
use crate::derive::phrase::Phrase;
use crate::interpret::stick_rule;
use crate::score::settings::{StickRule, Way};
use crate::score::{Hand, Item, Kit, Span};
use crate::source::{Diagnostics, Source};
use proptest::prelude::*;

/// The phrase of the rows of a block, and what was found in it.
fn read(rows: &str) -> (Option<Phrase>, Diagnostics) {
    let source = Source::new("hands", format!("exercise\n{rows}"));
    let mut reported = Diagnostics::default();
    let score = crate::understand(&source, &mut reported);
    let phrase = score.items.iter().find_map(|item| match item {
        Item::Block(block) => Phrase::of(&block.part, &Kit::five_piece()).ok(),
        _ => None,
    });
    (phrase.filter(|_| !reported.has_errors()), reported)
}

/// The letters of a rule for the cells of a `play` row.
fn letters(rule: &str, play: &str) -> String {
    let rule = stick_rule::read(rule, Span::default()).ok().flatten();
    let phrase = read(&format!("  play {play}\n")).0;
    match (rule, phrase) {
        (Some(rule), Some(phrase)) => {
            rule::hands(rule, &phrase, &Kit::five_piece()).into_iter().map(Hand::letter).collect()
        }
        _ => String::new(),
    }
}

/// Common practice, no source.
#[test]
fn natural_sticking_keeps_the_grid() {
    for (play, expected) in [
        ("ssss ssss ssss ssss", "RLRLRLRLRLRLRLRL"),
        // `1 & a`: the hand of the silent `e` keeps its place.
        ("s.ss s.ss s.ss s.ss", "RRLRRLRRLRRL"),
        (".sss .s.s ss.s ..ss", "LRLLLRLLRL"),
        // Eighths alone alternate; among sixteenths the right hand has them.
        ("ss ss ss ss", "RLRLRLRL"),
        ("ss ssss ss ssss", "RRRLRLRRRLRL"),
        // Triplets alternate, and a triplet with a gap keeps its hands.
        ("sss sss sss sss", "RLRLRLRLRLRL"),
        ("s.s s.s s.s s.s", "RRLLRRLL"),
        ("ssssss s.s.s. s s", "RLRLRLRLRRR"),
        ("sssss sssss s s", "RLRLRLRLRLRL"),
        // The beat after a triplet is the right hand's again.
        ("sss ssss s s", "RLRRLRLRR"),
        ("s s s s", "RLRL"),
        // What the feet play changes no hand.
        ("sk.k tk.k m f", "RLRL"),
        ("s[kk]ss s.ss s[kkkk]ss s", "RRLRRLRRLR"),
        ("sk.s s+tkks s s", "RLBLRR"),
    ] {
        assert_eq!(letters("natural", play), expected, "{play}");
        let left: String = expected
            .chars()
            .map(|c| match c {
                'R' => 'L',
                'L' => 'R',
                c => c,
            })
            .collect();
        assert_eq!(letters("lead left", play), left, "{play}");
    }
    let over = read("  hands sss sss sss sss\n  feet k.kk .k .k k..k\n").0;
    let natural = StickRule { way: Way::Natural, first: Hand::Right };
    let own = over.map(|phrase| rule::hands(natural, &phrase, &Kit::five_piece()));
    let own: String = own.into_iter().flatten().map(Hand::letter).collect();
    assert_eq!(own, "RLRLRLRLRLRL", "triplets over sixteenths of the feet");
    assert_eq!(letters("alternate", "s.ss s.s kks+f s"), "RLRLRBL");
    assert_eq!(letters("alternate left", "s.ss s s s"), "LRLRLR");
}

/// Common practice, no source: which foot plays under it is nothing to a hand.
#[test]
fn no_rule_looks_at_the_feet() {
    let bars = [
        "skss kkkk s.k. sks",
        "[kk]sss s[ss]kk kss kkk",
        "s[kkk]s[kk] k.k. s:2 ksks",
        "sks:2 skk sskkss",
    ];
    for rule in ["natural", "alternate", "lead left", "alternate left"] {
        for bar in bars {
            let alone = bar.replace("[kkk]", ".").replace("[kk]", ".").replace('k', ".");
            assert_eq!(letters(rule, bar), letters(rule, &alone), "{rule}: {bar}");
        }
    }
}

/// Round the kit from left to right the hands do not cross: an even number of notes on each drum,
/// the right hand on first. One drum alternates. Common practice, no source.
#[test]
fn economy_goes_round_the_kit_without_crossing() {
    assert_eq!(letters("economy", "ssss tttt mmmm ffff"), "RLRLRLRLRLRLRLRL");
    assert_eq!(letters("economy", "ssss ssss ssss ssss"), "RLRLRLRLRLRLRLRL");
    assert_eq!(letters("economy left", "ssss ssss s s"), "LRLRLRLRLR");
    // The hi-hat stands to the left and the floor tom to the right: each has its hand.
    assert_eq!(letters("economy", "hfhf hfhf hfhf hfhf"), "LRLRLRLRLRLRLRLR");
    // Three on a drum and on to the right: the right hand is free for it.
    assert_eq!(letters("economy", "sss fff s s").get(..4), Some("LRLR"));
    assert_eq!(letters("economy", "h+s s+f s+t s+m"), "BBBB");
}

#[test]
fn rules_are_read_and_told() {
    for (text, words) in [
        ("natural", "natural"),
        ("lead left", "natural left"),
        ("lead right", "natural"),
        ("Alternate left", "alternate left"),
        ("economy", "economy"),
    ] {
        let rule = stick_rule::read(text, Span::default()).ok().flatten();
        assert_eq!(rule.map(StickRule::words).as_deref(), Some(words), "{text}");
    }
    assert_eq!(stick_rule::read("written", Span::default()), Ok(None));
    for wrong in ["", "lead", "naturl", "alternate up", "written left"] {
        assert!(stick_rule::read(wrong, Span::default()).is_err(), "{wrong}");
    }
    let near = stick_rule::read("naturl", Span::default()).expect_err("no rule");
    assert!(near.help.contains("did you mean `natural`?"), "{near:?}");
}

/// What is found in a block, as sentences.
fn found(rows: &str) -> Vec<String> {
    read(rows).1.sorted().iter().map(|d| d.message.clone()).collect()
}

#[test]
fn a_written_letter_the_rule_would_not_give_is_told() {
    assert!(found("  stick: natural\n  play ssss s s s\n  stick RLRL R R R\n").is_empty());
    assert_eq!(
        found("  stick: natural\n  play ssss s s s\n  stick RLLR R R R\n"),
        ["`stick`: L is written where `stick: natural` gives R"]
    );
    assert_eq!(
        found("  stick: alternate\n  play s s s s | s s s s\n  stick RLRL | R L B R\n"),
        ["`stick`, bar 2: B is written where `stick: alternate` gives R"]
    );
    assert_eq!(
        found("  stick: economy\n  play ssss s s s\n  stick RRRR L R L\n"),
        ["the written sticking goes a longer way round the kit than `stick: economy`"]
    );
    assert!(found("  stick: economy\n  play ssss s s s\n  stick RLRL R L R\n").is_empty());
    let few = found("  stick: alternate\n  play ssss s s s\n  stick RLRL\n");
    assert!(few.iter().any(|m| m.contains("four letters for seven hits")), "{few:?}");
}

fn bars() -> impl Strategy<Value = Phrase> {
    let cell =
        prop::sample::select(vec!["s", "S", ".", "t", "'f", "h", "c+k", "s+f", "m", "k", "r"]);
    let beat = (1usize..5)
        .prop_flat_map(move |n| prop::collection::vec(cell.clone(), n).prop_map(|c| c.concat()));
    prop::collection::vec(beat, 4)
        .prop_filter_map("a phrase", |beats| read(&format!("  play {}\n", beats.join(" "))).0)
}

/// The least cost over all stickings of the first strokes.
fn brute(steps: &[economy::PendingStroke], first: Hand) -> u64 {
    let mut all: Vec<Vec<Hand>> = vec![Vec::new()];
    for step in steps {
        let longer = |hands: &Vec<Hand>| {
            let hands = hands.clone();
            economy::choices(step, first).into_iter().map(move |hand| {
                let mut hands = hands.clone();
                hands.push(hand);
                hands
            })
        };
        all = all.iter().flat_map(longer).collect();
    }
    all.iter().map(|hands| economy::cost(steps, hands, first)).min().unwrap_or(0)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

    #[test]
    fn economy_costs_no_more_than_any_other_way(phrase in bars(), left in any::<bool>()) {
        let first = if left { Hand::Left } else { Hand::Right };
        let kit = Kit::five_piece();
        let steps = economy::steps(&phrase, &kit);
        let best = economy::cost(&steps, &economy::hands(&steps, first), first);
        for way in [Way::Natural, Way::Alternate] {
            let other = rule::hands(StickRule { way, first }, &phrase, &kit);
            prop_assert!(best <= economy::cost(&steps, &other, first));
        }
        let short = &steps[..steps.len().min(9)];
        let found = economy::hands(short, first);
        prop_assert_eq!(economy::cost(short, &found, first), brute(short, first));
    }

    #[test]
    fn every_note_of_the_hands_has_a_letter(phrase in bars()) {
        let kit = Kit::five_piece();
        for way in [Way::Natural, Way::Alternate, Way::Economy] {
            let mut stuck = phrase.clone();
            crate::derive::hands::stick(&mut stuck, &kit, StickRule { way, first: Hand::Right });
            for note in stuck.hands() {
                prop_assert_eq!(note.hand() == Some(Hand::Both), note.strikes.len() > 1);
                let grace = note.letter.as_ref().map_or(0, |l| l.grace.len());
                prop_assert!(grace == usize::from(note.grace.count()) || note.hand() == Some(Hand::Both));
            }
        }
    }
}
