//! What is heard when a block is practised, in seconds that are worked out by hand. The first sound of all
//! comes half a second after the start, and 1.5 s of pause lie between two passes.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

use flamacue::practice::{Event, Plan, PlanError, Sound, Wanted};
use flamacue::score::Score;
use flamacue::score::practice::Silent;
use flamacue::sound::ClickKind;
use flamacue::source::{Diagnostics, Source};

fn score(text: &str) -> Score {
    let source = Source::new("test.flam", text);
    let mut diagnostics = Diagnostics::default();
    flamacue::read(&source, &mut diagnostics)
        .unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)))
}

fn plan(text: &str) -> Plan {
    Plan::of(&score(text), &Wanted::default()).expect("a plan")
}

/// Everything that is heard: milliseconds and what; `k36` a key, `A`, `B`, `s` clicks.
fn heard(plan: &Plan) -> String {
    let told = |event: Event| {
        let sound = match event.sound {
            Sound::Stroke { key, .. } => format!("k{key}"),
            Sound::Click(ClickKind::Accent) => "A".into(),
            Sound::Click(ClickKind::Beat) => "B".into(),
            Sound::Click(ClickKind::Subdivision) => "s".into(),
        };
        format!("{}{sound}", (event.seconds * 1000.0).round() as i64)
    };
    plan.events().map(told).collect::<Vec<_>>().join(" ")
}

/// Four beats of a second are counted in from 0.5 s on, then the music starts.
#[test]
fn a_bar_is_counted_in() {
    let plan = plan("exercise\n  tempo: 60\n  play s . k .\n");
    assert_eq!(heard(&plan), "500A 1500B 2500B 3500B 4500k38 6500k36");
    assert_eq!(plan.seconds(), 0.5 + 4.0 + 4.0 + 3.0);
}

/// What comes before a pickup of a quarter is counted too: in 4/4 three quarters of another bar.
#[test]
fn a_pickup_comes_where_it_belongs() {
    let plan = plan("exercise\n  tempo: 60\n  pickup: 1/4\n  click: beats\n  play s | k . . .\n");
    let told = heard(&plan);
    assert_eq!(
        told,
        "500A 1500B 2500B 3500B 4500A 5500B 6500B 7500B 7500k38 8500A 8500k36 9500B 10500B 11500B"
    );
}

/// Twice alone, then as much silence with its click, then two thirds as fast: a beat takes 1.5 s.
#[test]
fn steps_follow_one_another() {
    let plan = plan(
        "exercise\n  time: 2/4\n  tempo: 60\n  count-in: none\n  practice: alone x2, silence, slow\n  click: bars\n  play s s\n",
    );
    let alone = "500A 500k38 1500k38 2500A 2500k38 3500k38";
    let silence = "6000A";
    let slow = "9500A 9500k38 11000k38";
    assert_eq!(heard(&plan), format!("{alone} {silence} {slow}"));
    let times = plan.times();
    assert_eq!((times[0].music, times[0].once, times[0].end), (0.5, 2.0, 4.5));
    assert_eq!((times[2].start, times[2].end), (9.5, 12.5));
}

/// From 60 to 120 by 30: beats of 1, 2/3 and 1/2 s, and a count-in before each tempo.
#[test]
fn a_climb_counts_in_each_tempo() {
    let plan = plan("exercise\n  time: 1/4\n  tempo: 60\n  practice: 60 to 120 by 30\n  play s\n");
    assert_eq!(heard(&plan), "500A 1500k38 4000A 4667k38 6833A 7333k38");
}

/// Grace notes come as long before their note at any tempo.
#[test]
fn grace_notes_keep_their_distance() {
    let plan = plan(
        "exercise\n  time: 2/4\n  tempo: 60\n  count-in: none\n  practice: at 120\n  play s 's\n  stick R rL\n",
    );
    assert_eq!(heard(&plan), "500k38 970k38 1000k38");
}

/// A fill in its context is heard with the groove before it; the context's own practice is its own.
#[test]
fn a_fill_is_heard_in_its_context() {
    let text = "tempo: 60\ntime: 2/4\ncount-in: none\n\nfill gate\n  practice: alone, in context\n  play s s\n\ngroove loft\n  practice: silence\n  play k k\n\ncontext both\n  practice: silence\n  play: loft, gate\n";
    let plan = plan(text);
    assert_eq!(heard(&plan), "500k38 1500k38 4000k36 5000k36 6000k38 7000k38");
    let items: Vec<(usize, usize)> = plan.passes.iter().map(|p| (p.item, p.heard_item)).collect();
    assert_eq!(items, [(0, 0), (0, 2), (1, 1), (2, 2)]);
}

/// Of four bars the last is silent; bars go on counting when the block is played again.
#[test]
fn the_click_falls_silent() {
    let plan = plan(
        "exercise\n  time: 1/4\n  tempo: 60\n  count-in: none\n  practice: silence x3\n  click: beats, silent 1 bar of 4\n  play s | s\n",
    );
    assert_eq!(heard(&plan), "500A 1500A 2500A 4500A 5500A");
}

#[test]
fn hands_feet_and_players_are_silent() {
    let text = "exercise\n  time: 2/4\n  tempo: 60\n  count-in: none\n  practice: alone without hands, alone without feet\n  play s k\n";
    assert_eq!(heard(&plan(text)), "1500k36 4000k38");
    let duet = "exercise\n  time: 1/4\n  tempo: 60\n  count-in: none\n  practice: alone without \"Ana\"\n  player \"Ana\"\n  play s\n  player \"Bo\"\n  play k\n";
    assert_eq!(heard(&plan(duet)), "500k36");
    let wanted = Wanted { without: vec![Silent::Player("Cy".into())], ..Wanted::default() };
    let none = Plan::of(&score(duet), &wanted);
    assert_eq!(none.err(), Some(PlanError::NoSuchPlayer("Cy".into())));
}

/// What is asked for goes before what the text says.
#[test]
fn a_plan_can_be_asked_for() {
    let text = "tempo: 60\ntime: 1/4\n\nexercise one\n  play s\n\nexercise two\n  practice: slow x9\n  play k\n";
    let wanted = Wanted {
        block: Some("Two".into()),
        steps: Some(std::sync::Arc::from([Default::default()])),
        count_in: Some(0),
        tempo: Some(120.0),
        ..Wanted::default()
    };
    let plan = Plan::of(&score(text), &wanted).expect("a plan");
    assert_eq!(heard(&plan), "500k36");
    let none = Wanted { block: Some("three".into()), ..Wanted::default() };
    assert_eq!(Plan::of(&score(text), &none).err(), Some(PlanError::NoSuchBlock("three".into())));
}

/// What would play for days is refused before anything is made.
#[test]
fn nobody_practises_for_days() {
    let text = format!(
        "tempo: 10\n\nexercise\n  practice: {}\n  play s . . .\n",
        vec!["slow x99"; 50].join(", ")
    );
    assert!(matches!(
        Plan::of(&score(&text), &Wanted::default()),
        Err(PlanError::TooLong { hours }) if hours > 30.0
    ));
}

/// Strokes that stray stay in order and are the same at every run.
#[test]
fn loose_strokes_are_the_same_at_every_run() {
    let text = "exercise\n  tempo: 60\n  practice: alone x2\n  looseness: 20 ms\n  play ssss ssss ssss ssss\n";
    let first = heard(&plan(text));
    assert_eq!(first, heard(&plan(text)));
    let played = plan(text);
    let seconds: Vec<f64> = played.events().map(|event| event.seconds).collect();
    assert!(seconds.windows(2).all(|pair| pair[0] <= pair[1]));
    let strokes: Vec<f64> = played
        .events()
        .filter(|event| matches!(event.sound, Sound::Stroke { .. }))
        .map(|event| event.seconds)
        .collect();
    let first_half = strokes.iter().take(16).zip(&strokes[16..]);
    assert!(first_half.clone().any(|(a, b)| (b - a - 4.0).abs() > 0.001), "each time is different");
    for (number, second) in strokes.iter().enumerate() {
        assert!((second - 4.5 - number as f64 * 0.25).abs() <= 0.0201);
    }
}
