//! The timeline of a block against what a drummer plays.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

use flamacue::perform::{StrokeKind, Timeline};
use flamacue::score::{Hand, Item, Time};
use flamacue::source::{Diagnostics, Source};

fn timeline(text: &str) -> Timeline {
    let source = Source::new("test.flam", text);
    let mut diagnostics = Diagnostics::default();
    let score = flamacue::read(&source, &mut diagnostics)
        .unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    let block = score.items.iter().find_map(|item| match item {
        Item::Block(block) => Some(block),
        _ => None,
    });
    Timeline::of(block.expect("a block"))
}

/// The bars that are played, from 1.
fn order(rows: &str) -> Vec<usize> {
    let played = timeline(&format!("exercise\n{rows}"));
    played.bars.iter().map(|played| played.bar + 1).collect()
}

/// Seconds of the strokes, to the millisecond.
fn seconds(text: &str) -> Vec<i64> {
    timeline(text).strokes.iter().map(|s| (s.seconds * 1000.0).round() as i64).collect()
}

fn warnings(text: &str) -> Vec<String> {
    let source = Source::new("test.flam", text);
    let mut diagnostics = Diagnostics::default();
    flamacue::read(&source, &mut diagnostics);
    diagnostics.sorted().iter().map(|d| d.message.clone()).collect()
}

/// Gould, *Behind Bars* (2011), "Repeat signs", from memory; where she leaves it open, common
/// practice, no source.
#[test]
fn repeats_endings_and_jumps_are_unrolled() {
    assert_eq!(order("  play s s s s | s s s s\n"), [1, 2]);
    assert_eq!(order("  play |: s s s s :| s s s s\n"), [1, 1, 2]);
    assert_eq!(order("  play s s s s |: s s s s :| x3 s s s s\n"), [1, 2, 2, 2, 3]);
    assert_eq!(order("  play |: s s s s | s s s s :| s s s s\n  mark . | 1. | 2.\n"), [1, 2, 1, 3]);
    // Three passes, two of which end alike.
    assert_eq!(
        order("  play |: s s s s | s s s s :| s s s s | s s s s\n  mark . | 1.-2. | 3.\n"),
        [1, 2, 1, 2, 1, 3, 4]
    );
    assert_eq!(
        order("  play s s s s | s s s s | s s s s\n  mark . | fine | dc-al-fine\n"),
        [1, 2, 3, 1, 2]
    );
    assert_eq!(
        order("  play s s s s | s s s s | s s s s | s s s s\n  mark . | segno | ds\n"),
        [1, 2, 3, 2, 3, 4]
    );
    assert_eq!(
        order(
            "  play s s s s | s s s s | s s s s | s s s s\n  mark . | to-coda | dc-al-coda | coda\n"
        ),
        [1, 2, 3, 1, 2, 4]
    );
    // After a jump repeats are not played again, and the last ending is taken.
    assert_eq!(
        order("  play |: s s s s | s s s s :| s s s s | s s s s\n  mark . | 1. | 2. | dc\n"),
        [1, 2, 1, 3, 4, 1, 3, 4]
    );
}

/// A quarter at 120 lasts half a second; the eighth of a triplet at 90 lasts 60 / 90 / 3 = 0.222 s,
/// and as an eighth makes a quarter of 0.444 s, which is 135 a minute.
#[test]
fn tempo_its_changes_and_metric_modulation_are_heard() {
    assert_eq!(seconds("exercise\n  tempo: 120\n  play s s s s\n"), [0, 500, 1000, 1500]);
    assert_eq!(
        seconds("exercise\n  tempo: 120\n  mark . . tempo=60\n  play s s s s\n"),
        [0, 500, 1000, 2000]
    );
    assert_eq!(
        seconds(
            "exercise\n  tempo: 90\n  mark . | triplet-eighth=eighth\n  play s . . . | s s s s\n"
        ),
        [0, 2667, 3111, 3556, 4000]
    );
}

/// A ritardando from 120 to 60 over a bar of four quarters: the speed falls from 1/2 to 1/4 of a whole note a
/// second, v(x) = 1/2 - x/4 after x of a whole note, and the time to x is -4 ln(v(x) / (1/2)): 0.5341 s to the
/// second quarter (v = 7/16), 1.1507 s to the third (6/16), 1.8800 s to the fourth (5/16), 2.7726 s to the end.
#[test]
fn a_ritardando_leads_to_the_tempo_written_next() {
    let text = "exercise\n  tempo: 120\n  mark rit . . . | tempo=60\n  play s s s s | s s . .\n";
    assert_eq!(seconds(text), [0, 534, 1151, 1880, 2773, 3773]);
}

/// Without a tempo after it a ritardando leads to 3/4 of the tempo, from 1/2 to 3/8: over half a whole note
/// v(x) = 1/2 - x/4, so the third quarter lasts -4 ln(7/8) = 0.5341 s and the fourth -4 ln(6/7) = 0.6166 s.
/// `a-tempo` leads back to 120. An accelerando leads to 4/3, from 1/2 to 2/3 over half a whole note:
/// v(x) = 1/2 + x/3, 3 ln(7/6) = 0.4625 s and 3 ln(8/7) = 0.4006 s.
#[test]
fn gradual_changes_without_a_goal_and_the_way_back() {
    let text = |mark: &str| {
        format!("exercise\n  tempo: 120\n  mark . . {mark} . | a-tempo\n  play s s s s | s s . .\n")
    };
    assert_eq!(seconds(&text("rit")), [0, 500, 1000, 1534, 2151, 2651]);
    assert_eq!(seconds(&text("accel")), [0, 500, 1000, 1462, 1863, 2363]);
    // A faster tempo is not what a ritardando leads to: it goes to 3/4, and the new one begins at once.
    let faster = "exercise\n  tempo: 120\n  mark . . rit . | tempo=240\n  play s s s s | s s . .\n";
    assert_eq!(seconds(faster), [0, 500, 1000, 1534, 2151, 2401]);
}

/// In bars that are played twice each playing has its own ramp: from 120, over the repeat, -4 ln(3/4) to the
/// half of a ramp of two bars from 1/2 to 3/8 (v = 7/16): L = 2, so -16 ln(7/8) = 2.1365 s for the first bar.
#[test]
fn a_ramp_is_as_long_as_what_is_played() {
    // The first ramp ends where the second playing begins another, at 3/4 of the tempo: over one whole note
    // from 1/2 to 3/8, -8 ln(3/4) = 2.3015 s.
    let text = "exercise\n  tempo: 120\n  mark . | rit\n  play s . . . |: s . . . :|\n";
    assert_eq!(seconds(text), [0, 2000, 4301]);
    let text = "exercise\n  tempo: 120\n  mark rit\n  play |: s . . . | s . . . :|\n";
    assert_eq!(seconds(text)[..2], [0, 2137]);
}

/// A fermata makes its note twice as long: a quarter at 60 two seconds, a held half four, a rest in its beat.
#[test]
fn a_fermata_lengthens_its_note() {
    assert_eq!(
        seconds("exercise\n  tempo: 60\n  mark . fermata\n  play s s s s\n"),
        [0, 1000, 3000, 4000]
    );
    assert_eq!(
        seconds("exercise\n  tempo: 60\n  mark . fermata\n  play s s - s\n"),
        [0, 1000, 5000]
    );
    assert_eq!(
        seconds("exercise\n  tempo: 60\n  mark . [. fermata]\n  play s ss ss s\n"),
        [0, 1000, 1500, 2500, 3000, 3500]
    );
}

/// Three over two beats at 60: 2/3 s each; the second goes on over the barline and is one stroke. Five: 0.4 s.
#[test]
fn a_group_over_the_barline_is_played_evenly() {
    let three = "exercise\n  tempo: 60\n  play . . . st|f:2 s . .\n";
    assert_eq!(seconds(three), [3000, 3667, 4333, 5000]);
    let five = "exercise\n  tempo: 60\n  play . . . stt|mf:2 s . .\n";
    assert_eq!(seconds(five), [3000, 3400, 3800, 4200, 4600, 5000]);
}

/// Bars of three quarters and of one and a half at 60.
#[test]
fn bars_without_a_time_signature_last_as_long_as_they_are() {
    let text = "exercise\n  tempo: 60\n  time: none\n  play s s s | s s:1/2 | s\n";
    assert_eq!(seconds(text), [0, 1000, 2000, 3000, 4000, 4500]);
}

/// A crescendo in words is heard as one that is drawn; a dynamic inside a beat is struck there.
#[test]
fn words_that_change_loudness_are_heard() {
    let loud = |dynamics: &str| -> Vec<f64> {
        let text =
            format!("exercise\n  tempo: 60\n  time: 5/4\n  play s s s s s\n  dyn {dynamics}\n");
        timeline(&text).strokes.iter().map(|s| s.loudness.value()).collect()
    };
    assert_eq!(loud("p cresc . . f"), loud("p < . . f"));
    assert_eq!(loud("f+dim . . . p"), loud("f+> . . . p"));
}

/// Sixteenths of one hand at 135 are nine a second, at 90 six.
#[test]
fn a_tempo_reached_by_metric_modulation_is_too_fast() {
    let text = |mark: &str| {
        format!(
            "exercise\n  tempo: 90\n  mark . | {mark}\n  play s s s s | ssss ssss ssss ssss\n  stick R L R L | RRRR RRRR RRRR RRRR\n"
        )
    };
    assert_eq!(warnings(&text(".")), Vec::<String>::new());
    let found = warnings(&text("triplet-eighth=eighth"));
    assert!(found.len() == 1 && found[0].contains("strike 9.0 times a second"), "{found:?}");
}

/// Two to one: the first of two eighths has two thirds of the quarter.
#[test]
fn swing_moves_the_second_of_two_notes() {
    let text = "exercise\n  tempo: 60\n  swing: eighths\n  play ss s. .s s\n";
    assert_eq!(seconds(text), [0, 667, 1000, 2667, 3000]);
    let text = "exercise\n  tempo: 60\n  swing: sixteenths 3:1\n  play ssss s s s\n";
    assert_eq!(seconds(text), [0, 375, 500, 875, 1000, 2000, 3000]);
}

/// A flam is two strokes of two hands, a drag three; a diddle is two of one hand, an open roll two
/// of each hand in turn.
#[test]
fn ornaments_are_strokes_of_their_own() {
    let played = timeline("exercise\n  tempo: 60\n  play 's ''s s/ s//\n  stick lR rrL R L\n");
    let strokes: Vec<(StrokeKind, Option<Hand>, Time)> =
        played.strokes.iter().map(|s| (s.kind, s.hand, s.onset)).collect();
    use Hand::{Left as L, Right as R};
    use StrokeKind::{Grace, Main, Roll};
    let beat = |n: i64, d: i64| Time::new(n, d);
    assert_eq!(
        strokes,
        [
            (Grace, Some(L), beat(0, 1)),
            (Main, Some(R), beat(0, 1)),
            (Grace, Some(R), beat(1, 4)),
            (Grace, Some(R), beat(1, 4)),
            (Main, Some(L), beat(1, 4)),
            (Main, Some(R), beat(2, 4)),
            (Roll, Some(R), beat(5, 8)),
            (Main, Some(L), beat(3, 4)),
            (Roll, Some(L), beat(13, 16)),
            (Roll, Some(R), beat(14, 16)),
            (Roll, Some(R), beat(15, 16)),
        ]
    );
    let early: Vec<i64> =
        played.strokes.iter().take(5).map(|s| (s.seconds * 1000.0).round() as i64).collect();
    assert_eq!(early, [-30, 0, 940, 970, 1000]);
}

#[test]
fn a_note_held_over_a_barline_is_one_stroke() {
    let played = timeline("exercise\n  tempo: 60\n  play s s s c | - - . s\n");
    let crash = played.strokes.iter().find(|s| s.onset == Time::new(3, 4)).expect("a stroke");
    assert_eq!(crash.end, Time::new(3, 2));
    assert_eq!(played.strokes.len(), 5);
    // A roll goes on over it.
    let rolled = timeline("exercise\n  tempo: 60\n  play . . . s// | - . . .\n");
    assert_eq!(rolled.strokes.len(), 4 + 4);
    assert!(rolled.strokes.iter().all(|stroke| stroke.note == 0));
}

/// Each letter is louder than the one before it; a hairpin goes from one to the other in equal steps.
#[test]
fn dynamics_accents_and_ghosts_have_their_loudness() {
    let loud = |rows: &str| -> Vec<f64> {
        let played = timeline(&format!("exercise\n  tempo: 60\n{rows}"));
        played.strokes.iter().map(|s| (s.loudness.value() * 100.0).round() / 100.0).collect()
    };
    let levels = loud("  play s s s s\n  dyn pp p mf ff\n");
    assert!(levels.windows(2).all(|w| w[0] < w[1]), "{levels:?}");
    let swells = loud("  play s s s s s\n  time: 5/4\n  dyn p < . . f\n");
    assert_eq!(swells, [0.4, 0.4, 0.5, 0.6, 0.7]);
    let signs = loud("  play s S ^s (s)\n");
    assert!(signs[3] < signs[0] && signs[0] < signs[1] && signs[1] < signs[2], "{signs:?}");
    // What is struck forte and goes on piano.
    assert_eq!(loud("  play s s s s\n  dyn mf fp . .\n"), [0.6, 0.7, 0.4, 0.4]);
}

/// Every stroke leads to its note on the page and its cell in the text.
#[test]
fn strokes_know_their_notes() {
    let text = "groove\n  tempo: 60\n  hat x x x x\n  kick x . x .\n";
    let played = timeline(text);
    for stroke in &played.strokes {
        assert!(played.notes.get(stroke.note).is_some());
        assert_eq!(&text[stroke.span.start()..stroke.span.end()], "x");
    }
    assert_eq!(played.strokes.len(), 6);
    assert_eq!(played.length, Time::WHOLE);
    assert!((played.seconds - 4.0).abs() < 1e-9);
}

/// Small notes on other drums are struck there, and beat slashes are not struck at all.
#[test]
fn small_notes_sound_on_their_own_drums() {
    let played = timeline("exercise\n  tempo: 60\n  play {tk}s / s s\n");
    let kinds: Vec<StrokeKind> = played.strokes.iter().map(|stroke| stroke.kind).collect();
    let (grace, main) = (StrokeKind::Grace, StrokeKind::Main);
    assert_eq!(kinds, [grace, grace, main, main, main]);
    let drums: Vec<_> = played.strokes.iter().map(|stroke| stroke.instrument).collect();
    assert!(drums[0] != drums[1] && drums[0] != drums[2] && drums[1] != drums[2]);
    assert!(drums[2..].iter().all(|drum| *drum == drums[2]));
}

/// Swung notes have exact times: two thirds of a quarter in two to one. Pairs are those of the full bar, so
/// that the eighth of a pickup is the short one; what the barline cuts stays even (common practice, no
/// source).
#[test]
fn swung_times_are_exact() {
    let sounds = |text: &str| -> Vec<Time> {
        timeline(text).strokes.iter().map(|stroke| stroke.sounds.0).collect()
    };
    let text = "exercise\n  tempo: 60\n  swing: eighths\n  play ss s. .s s\n";
    let time = Time::new;
    assert_eq!(sounds(text), [time(0, 1), time(1, 6), time(1, 4), time(2, 3), time(3, 4)]);
    let pickup = "exercise\n  tempo: 60\n  swing: eighths\n  pickup: 1/8\n  play s | s . . .\n";
    assert_eq!(sounds(pickup), [time(1, 24), time(1, 8)]);
    assert_eq!(seconds(pickup), [167, 500]);
    // Triplets are as they are written.
    let threes = "exercise\n  tempo: 60\n  swing: eighths\n  play sss ss s .\n";
    assert_eq!(seconds(threes), [0, 333, 667, 1000, 1667, 2000]);
    let odd = "exercise\n  time: 7/8\n  swing: eighths\n  tempo: 1/4 = 60\n  play s s s s s s s | s . . . . . .\n";
    assert_eq!(seconds(odd), [0, 667, 1000, 1667, 2000, 2667, 3000, 3500]);
}

/// Steps of tempo and the seconds of strokes say the same; those of a ramp are a sixteenth long at most.
#[test]
fn the_tempo_is_told_in_steps() {
    let text = "exercise\n  tempo: 60\n  play ssss ssss ssss ssss | ssss ssss ssss ssss\n  mark . . rit . | . . tempo=90 .\n";
    let played = timeline(text);
    assert!(played.tempo.iter().zip(played.tempo.iter().skip(1)).all(|(a, b)| a.at < b.at));
    assert_eq!(played.tempo.len(), 1 + 16 + 1, "{:?}", played.tempo);
    for stroke in &played.strokes {
        let told = played.second_of(stroke.sounds.0);
        assert!((told - stroke.seconds).abs() < 1e-9, "{told} {}", stroke.seconds);
    }
    assert_eq!(played.bar_times, [Time::ZERO, Time::WHOLE]);
    // A fermata holds its note for twice its length.
    let held = timeline("exercise\n  tempo: 60\n  play s s s s\n  mark . fermata . .\n");
    let wholes: Vec<(Time, i64)> =
        held.tempo.iter().map(|s| (s.at, (s.whole * 1000.0).round() as i64)).collect();
    let quarters = |n| Time::QUARTER * n;
    assert_eq!(wholes, [(Time::ZERO, 4000), (quarters(1), 8000), (quarters(2), 4000)]);
}

/// The foot closes an open hi-hat, and so does the next stroke of the hand; a choked crash ends with its
/// note, and a crash that is not rings on.
#[test]
fn what_ends_a_sound_is_known() {
    let silenced = |text: &str| -> Vec<Option<i64>> {
        let ends = timeline(text).strokes;
        ends.iter().map(|s| s.silenced.map(|end| (end * 1000.0).round() as i64)).collect()
    };
    assert_eq!(
        silenced("exercise\n  tempo: 60\n  play o p o h\n"),
        [Some(1000), None, Some(3000), None]
    );
    // What is struck together with it does not.
    assert_eq!(silenced("exercise\n  tempo: 60\n  play o+p . . s\n"), [None, None, None]);
    assert_eq!(
        silenced("exercise\n  tempo: 60\n  play c! s c s\n"),
        [Some(1000), None, None, None]
    );
}

/// The strokes of a flam lie as far apart as the player says.
#[test]
fn grace_notes_are_spread() {
    let text =
        "exercise\n  tempo: 60\n  grace-spread: 45 ms\n  play . 's . ''s\n  stick . lR . rrL\n";
    assert_eq!(seconds(text), [955, 1000, 2910, 2955, 3000]);
}
