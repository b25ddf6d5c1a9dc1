//! What can and can't be played, as warnings. Figures from the limits named in the module; which
//! music is ordinary is common practice, no source.

use crate::source::{Diagnostics, Source};

/// What is found in a text, as marked cells and sentences.
fn found(text: &str) -> Vec<(String, String)> {
    let source = Source::new("playable", text);
    let mut heard = Diagnostics::default();
    crate::understand(&source, &mut heard);
    heard.sorted().iter().map(|d| (source.slice(d.span).to_owned(), d.message.clone())).collect()
}

fn exercise(rows: &str) -> Vec<String> {
    found(&format!("exercise\n{rows}")).into_iter().map(|(_, message)| message).collect()
}

fn quiet(rows: &str) {
    assert_eq!(exercise(rows), Vec::<String>::new(), "{rows}");
}

fn one(rows: &str, says: &str) {
    let all = exercise(rows);
    assert!(all.len() == 1 && all[0].contains(says), "{rows}\n{all:?}");
}

const SIXTEENTHS: &str = "ssss ssss ssss ssss";

#[test]
fn hands_that_take_turns_are_twice_as_fast_as_one() {
    // Sixteenths at 120 are eight a second.
    for (tempo, stick) in
        [(120, "RRRR RRRR RRRR RRRR"), (240, "RLRL RLRL RLRL RLRL"), (160, "RRLL RRLL RRLL RRLL")]
    {
        quiet(&format!("  tempo: {tempo}\n  play {SIXTEENTHS}\n  stick {stick}\n"));
    }
    one(
        &format!("  tempo: 132\n  play {SIXTEENTHS}\n  stick RRRR RRRR RRRR RRRR\n"),
        "the right hand has to strike 8.8 times a second; `fastest-hand` is 8",
    );
    one(
        &format!(
            "  tempo: 150\n  play {SIXTEENTHS}\n  stick LLLL LRLR LLLL L...\n  sticking: none\n"
        )
        .replace("L...", "LRLR"),
        "the left hand has to strike 10.0 times a second, and once more further on",
    );
    quiet(&format!(
        "  tempo: 132\n  fastest-hand: 9\n  play {SIXTEENTHS}\n  stick RRRR RRRR RRRR RRRR\n"
    ));
    // Without a tempo nothing is known.
    quiet(&format!("  play {SIXTEENTHS}\n  stick RRRR RRRR RRRR RRRR\n"));
}

#[test]
fn without_letters_the_best_sticking_is_judged() {
    quiet(&format!("  tempo: 240\n  play {SIXTEENTHS}\n"));
    one(
        &format!("  tempo: 252\n  play {SIXTEENTHS}\n"),
        "each hand, even at its best, has to strike 8.4 times a second",
    );
    // Two drums at once take both hands.
    one(
        "  tempo: 132\n  play s+fs+fs+fs+f s+fs+fs+fs+f s s\n",
        "each hand, even at its best, has to strike 8.8 times a second",
    );
}

#[test]
fn ornaments_are_strokes_too() {
    // Diddles on sixteenths are thirty-seconds, two of each hand: at 100 each hand has 6.7.
    let diddles = "s/s/s/s/ s/s/s/s/ s s";
    quiet(&format!("  tempo: 100\n  play {diddles}\n  stick RLRL RLRL R L\n"));
    one(
        &format!("  tempo: 100\n  play {diddles}\n  stick RRRR RLRL R L\n"),
        "the right hand has to strike 13.3 times a second",
    );
    // A flam takes both hands.
    one(
        "  tempo: 132\n  play 's's's's 's's's's s s\n  stick lRrLlRrL lRrLlRrL R L\n",
        "each hand has to strike 8.8",
    );
    quiet("  tempo: 100\n  play s//_S. s//_S. s///___ S\n  stick R.R. L.L. R... R\n");
    // A rebound has its limit.
    one("  tempo: 200\n  play s/sss s s s\n  stick RLRL R L R\n", "too fast even for a rebound");
}

#[test]
fn tempo_marks_and_swing_are_heard() {
    let stick = "RRRR RRRR RRRR RRRR";
    quiet(&format!("  tempo: 100\n  mark . tempo=120\n  play {SIXTEENTHS}\n  stick {stick}\n"));
    one(
        &format!("  tempo: 100\n  mark . tempo=160\n  play {SIXTEENTHS}\n  stick {stick}\n"),
        "10.7 times a second",
    );
    // Two strokes of one hand across the short notes of a hard swing.
    let swung = "  tempo: 300\n  play ss ss ss ss\n  stick RL LR RL LR\n";
    quiet(swung);
    quiet(&format!("  swing: eighths 3:1\n{swung}"));
    one(
        &format!("  swing: eighths 7:1\n{swung}").replace("RL LR RL LR", "LR RL LR RL"),
        "too fast even for a rebound",
    );
}

#[test]
fn feet_have_limits_and_pedals() {
    let kicks = "kkkk kkkk kkkk kkkk";
    quiet(&format!("  tempo: 104\n  play {kicks}\n"));
    one(
        &format!("  tempo: 112\n  play {kicks}\n"),
        "the foot on the kick has to strike 7.5 times a second; `fastest-foot` is 7",
    );
    quiet(&format!("  tempo: 200\n  double-pedal: yes\n  play {kicks}\n"));
    one(
        &format!("  tempo: 80\n  feet {kicks}\n  pedal RLRL RLRL RLRL RLRL\n"),
        "both feet play the kick here, and it has one pedal",
    );
    quiet(&format!(
        "  tempo: 80\n  double-pedal: yes\n  feet {kicks}\n  pedal RLRL RLRL RLRL RLRL\n"
    ));
    // The kick's foot and the hi-hat's.
    quiet("  feet k p k p\n  pedal R L R L\n");
    one("  feet k+p p k p\n  pedal R L R L\n", "the right foot is to be on `foot-hat` and `kick`");
    quiet("  feet k+p p k p\n  pedal B L R L\n");
}

#[test]
fn one_hand_is_in_one_place() {
    one(
        "  play c+f s s s\n  stick R L R L\n",
        "the right hand is to strike `floor` and `crash` at once, which stand too far apart",
    );
    quiet("  play c+f s s s\n  stick B L R L\n");
    quiet("  play c+k s s s\n  stick R L R L\n");
}

#[test]
fn a_passage_is_told_once_with_its_cells() {
    let text = "exercise\n  tempo: 140\n  hat   xxxx xxxx xxxx xxxx | xxxx xxxx xxxx xxxx\n  stick RRRR RRRR RRRR RRRR | RRRR RRRR RRRR RRRR\n";
    let all = found(text);
    assert_eq!(all.len(), 1, "{all:?}");
    assert_eq!(all[0].0, "xxxx xxxx xxxx xxxx | xxxx xxxx xxxx xxxx");
    assert!(all[0].1.starts_with("bars 1 to 2: the right hand"), "{all:?}");
    // A block that is made is named.
    let made = "exercise a\n  tempo: 140\n  play s.s. s.s. s.s. s.s.\n  stick R.R. R.R. R.R. R.R.\n\nvariation b of a\n  taps: diddle\n";
    let all = found(made);
    assert_eq!(all.len(), 1, "{all:?}");
    assert!(all[0].1.starts_with("variation b of a, the right hand has to strike"), "{all:?}");
}

/// What an instrument is does not hang on its name or its sound.
#[test]
fn a_renamed_kick_is_still_the_kick() {
    let text = "kit\n  k deep-drum\n\nexercise\n  tempo: 112\n  play kkkk kkkk kkkk kkkk\n";
    let all = found(text);
    assert_eq!(all.len(), 1, "{all:?}");
    assert!(all[0].1.contains("the foot on the kick has to strike 7.5 times"), "{all:?}");
    assert!(found(&text.replace("112", "104")).is_empty());
}

#[test]
fn four_kicks_running_are_no_rebound() {
    // Thirty-seconds at 88 are 11.7 a second, over one and a half times what one foot keeps up.
    one(
        "  tempo: 88\n  play [kk][kk]s. s s s\n",
        "the foot on the kick has to strike 11.7 times a second; `fastest-foot` is 7",
    );
    quiet("  tempo: 78\n  play [kk][kk]s. s s s\n");
    quiet("  tempo: 88\n  play [kk]ks. s s s\n");
    quiet("  tempo: 88\n  fastest-foot: 8\n  play [kk][kk]s. s s s\n");
}

#[test]
fn what_was_played_is_not_doubted() {
    let fast = "  play ssss ssss ssss ssss\n  stick RRRR RRRR RRRR RRRR\n";
    one(&format!("  tempo: 200\n{fast}"), "the right hand");
    quiet(&format!("  tempo: 200\n  as-played: yes\n{fast}"));
    let header = format!("as-played: yes\ntempo: 200\n\nexercise\n{fast}");
    assert_eq!(found(&header), []);
    let one_block = format!("as-played: yes\ntempo: 200\n\nexercise\n  as-played: no\n{fast}");
    assert_eq!(found(&one_block).len(), 1);
    let three = "  play s+t+f s s s\n";
    assert_eq!(exercise(three).len(), 1);
    quiet(&format!("  as-played: yes\n{three}"));
}
