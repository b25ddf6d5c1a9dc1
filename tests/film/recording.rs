//! Films and clicks along a recording.

use crate::made::{along, at_rate, fonts, plan, score};
use flamacue::practice::{BendError, Sound, Wanted, read_taps};

const QUARTERS: &str = "tempo: 120\nclick: beats\n\nfill\n  play  s s s s | k . k .\n";

fn clicks(plan: &flamacue::practice::Plan) -> Vec<f64> {
    let clicks = plan.events().filter(|event| matches!(event.sound, Sound::Click(_)));
    clicks.map(|event| (event.seconds * 1000.0).round() / 1000.0).collect()
}

#[test]
fn the_first_beat_is_put_at_a_second() {
    let (score, fonts) = (score(QUARTERS), fonts());
    let plan = plan(&score, &Wanted::default()).from_second(12.4).expect("a plan");
    assert_eq!(clicks(&plan)[..5], [10.4, 10.9, 11.4, 11.9, 12.4]);
    let film = along(&score, &fonts, plan, at_rate("25"));
    assert_eq!(film.seconds(), 12.4 + 4.0 + 3.0);
    let scene = film.scenes().next().expect("a scene");
    let heads = scene.strip.pages[0].notes[0].heads;
    let x = scene.at(12.4).cursor.expect("a cursor");
    assert!((x - heads.center().x).abs() < 0.01);
    assert_eq!(scene.at(10.0).cursor, None);
}

/// What is counted in may lie before the start of the recording: it is neither heard nor seen.
#[test]
fn what_comes_before_the_recording_is_left_out() {
    let plan = plan(&score(QUARTERS), &Wanted::default()).from_second(1.2).expect("a plan");
    assert_eq!(clicks(&plan)[..4], [0.2, 0.7, 1.2, 1.7]);
}

/// A take that slows down: beats fall where they were tapped, what lies between by straight lines.
#[test]
fn taps_bend_the_time() {
    let score = score(QUARTERS);
    let taps = read_taps("1.0\n1.5\n2.1\n2.8\nbar 2 3.6\n").expect("taps");
    let plan = plan(&score, &Wanted::default());
    let bend = plan.along_taps(&taps).expect("a bend");
    let plan = plan.along(bend).expect("a plan");
    // Counted in as fast as the first two taps lie apart, and on after the last two.
    assert_eq!(clicks(&plan), [0.0, 0.5, 1.0, 1.5, 2.1, 2.8, 3.6, 4.4, 5.2, 6.0]);
    let fonts = fonts();
    let film = along(&score, &fonts, plan, at_rate("25"));
    let scene = film.scenes().next().expect("a scene");
    let page = &scene.strip.pages[0];
    for (second, note) in [(1.0, 0), (1.5, 1), (2.1, 2), (2.8, 3), (3.6, 4), (5.2, 5)] {
        let x = scene.at(second + 1e-6).cursor.expect("a cursor");
        assert!((x - page.notes[note].heads.center().x).abs() < 0.01, "{second}");
    }
}

#[test]
fn the_times_of_marks_bend_it_too() {
    let text = "tempo: 120\nclick: beats\ncount-in: none\n\nfill\n  mark \"0:10\" . . . | \"0:14\" . . .\n  play  s s s s | k . k .\n";
    let plan = plan(&score(text), &Wanted::default());
    let bend = plan.along_marks().expect("a bend");
    let plan = plan.along(bend).expect("a plan");
    assert_eq!(clicks(&plan), [10.0, 11.0, 12.0, 13.0, 14.0, 15.0, 16.0, 17.0]);
}

#[test]
fn taps_that_lead_nowhere_are_told() {
    let plan = plan(&score(QUARTERS), &Wanted::default());
    let told = |words: &str| plan.along_taps(&read_taps(words).expect("taps")).unwrap_err();
    assert_eq!(told("1.0"), BendError::TooFew);
    assert_eq!(told("1\n2\n3\n4\n5\n6\n7\n8\n9"), BendError::TooManyBeats { taps: 9, beats: 8 });
    assert_eq!(told("1\nbar 3 2"), BendError::NoSuchBar { bar: 3, bars: 2 });
    assert!(matches!(told("2\n1"), BendError::NotLater { number: 2, .. }));
    assert_eq!(plan.along_marks(), Err(BendError::TooFew));
}
