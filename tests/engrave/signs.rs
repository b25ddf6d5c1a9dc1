//! Signs of transcriptions and of long pieces: small notes on other drums, slashes, phrases, numbers of
//! bars. Sources are named at each check; every value is from memory.

use crate::picture::{Picture, Seen};
use flamacue::drawing::Kind;

fn exercise(lines: &str) -> Picture {
    Picture::of(&format!("exercise\n  counts: none\n{lines}\n"))
}

fn named(picture: &Picture, kind: Kind, name: &str) -> Vec<Seen> {
    picture.kind(kind).into_iter().filter(|mark| mark.name == name).cloned().collect()
}

#[test]
fn small_notes_stand_on_their_own_drums() {
    // The snare is in the third space, the high tom in the fourth, the floor tom in the second.
    let one = exercise("  play  {t}s . . .");
    let small = named(&one, Kind::Grace, "noteheadBlack");
    assert_eq!(small.len(), 1);
    assert!((one.heads()[0].middle() - small[0].middle() - 1.0).abs() < 0.01);
    assert_eq!(one.kind(Kind::GraceSlash).len(), 1);
    let three = exercise("  play  {tsf}s . . .");
    let places: Vec<f64> = named(&three, Kind::Grace, "noteheadBlack")
        .iter()
        .map(|head| three.heads()[0].middle() - head.middle())
        .collect();
    assert!(places.iter().zip([1.0, 0.0, -1.0]).all(|(a, b)| (a - b).abs() < 0.01), "{places:?}");
    // Their stems end at one height.
    let stems = three.kind(Kind::Grace).into_iter().filter(|mark| mark.name.is_empty());
    let stems = stems.filter(|mark| mark.ink.height() > mark.ink.width());
    let tops: Vec<f64> = stems.map(|stem| stem.ink.y0).collect();
    assert!(tops.len() == 3 && tops.iter().all(|top| (top - tops[0]).abs() < 0.01), "{tops:?}");
}

#[test]
fn a_beat_slash_has_no_stem_and_takes_no_letter_and_no_count() {
    // Gould, "Slash notation".
    let bars = Picture::of("exercise\n  time: 7/8\n  play  / / / / / / / | s s s s s s s\n");
    let slashes = named(&bars, Kind::Notehead, "noteheadSlashVerticalEnds");
    assert_eq!(slashes.len(), 7);
    let in_first =
        |kind| bars.kind(kind).into_iter().filter(|mark| mark.bar == slashes[0].bar).count();
    for kind in [Kind::Stem, Kind::Flag, Kind::Beam, Kind::Rest, Kind::Count, Kind::Dot] {
        assert_eq!(in_first(kind), 0, "{kind:?}");
    }
}

#[test]
fn sticking_stands_over_the_staff_where_that_is_asked() {
    let over = exercise("  sticking: above\n  play   'SsTt s s s\n  stick  lRL(R)RL R L R");
    let notes = over.kind(Kind::Beam).into_iter().chain(over.kind(Kind::Accent));
    let top = notes.map(|mark| mark.ink.y0).fold(0.0, f64::min);
    let letters = named(&over, Kind::Sticking, "R");
    assert!(!letters.is_empty() && letters.iter().all(|letter| letter.ink.y1 < top));
    let baseline = letters[0].ink.y1;
    assert!(letters.iter().all(|letter| (letter.ink.y1 - baseline).abs() < 0.05));
    // The other hand stands over it.
    assert!(named(&over, Kind::Sticking, "(R)").iter().all(|other| other.ink.y1 < baseline));
    let under = exercise("  play   s s s s\n  stick  R(L) L R L");
    let (own, other) = (named(&under, Kind::Sticking, "R"), named(&under, Kind::Sticking, "(L)"));
    assert!(other[0].ink.y0 > own[0].ink.y1 && (other[0].centre() - own[0].centre()).abs() < 0.1);
}

/// The hooks of phrases and the lines between them.
fn phrases(picture: &Picture) -> (usize, usize) {
    let ink = picture.kind(Kind::Phrase).into_iter().filter(|mark| mark.name.is_empty());
    let (lines, hooks): (Vec<&Seen>, Vec<&Seen>) =
        ink.partition(|mark| mark.ink.width() > mark.ink.height());
    (lines.len(), hooks.len())
}

#[test]
fn a_phrase_is_open_where_it_goes_on_in_another_line() {
    let plain = exercise("  play  s s s s | s s s s\n  mark  phrase . . . | . . . .");
    assert_eq!(phrases(&plain), (1, 2));
    // A number stands in the middle of its line.
    let one = exercise("  play  s s s s | s s s s\n  mark  phrase=7 . . . | end-phrase . . .");
    assert_eq!(phrases(&one), (2, 2));
    assert_eq!(named(&one, Kind::Phrase, "7").len(), 1);
    let end = one.kind(Kind::Phrase).iter().map(|mark| mark.ink.x1).fold(0.0, f64::max);
    let barline = one.kind(Kind::Barline)[0].ink.x0;
    assert!(end < barline && end > barline - 1.0, "{end} {barline}");
    let parted = exercise(
        "  bars: 1\n  play  s s s s | s s s s | s s s s\n  mark  phrase=7 | . | end-phrase",
    );
    assert_eq!(phrases(&parted), (4, 2));
    assert_eq!(named(&parted, Kind::Phrase, "(7)").len(), 1);
    // One that ends with its line is closed there.
    let closed = exercise("  bars: 1\n  play  s s s s | s s s s\n  mark  phrase | phrase");
    assert_eq!(phrases(&closed), (2, 4));
}

fn numbers(picture: &Picture) -> Vec<String> {
    picture.kind(Kind::BarNumber).into_iter().map(|mark| mark.name.clone()).collect()
}

#[test]
fn bars_are_numbered_as_asked() {
    let bars = "  play  s s s s | s s s s | s s s s";
    assert_eq!(numbers(&exercise(&format!("  bars: 1\n{bars}"))), ["2", "3"]);
    assert!(numbers(&exercise(&format!("  bars: 1\n  bar-numbers: none\n{bars}"))).is_empty());
    assert_eq!(numbers(&exercise(&format!("  bar-numbers: every bar\n{bars}"))), ["1", "2", "3"]);
    let later = format!("  bars: 1\n  first-bar: 17\n{bars}");
    assert_eq!(numbers(&exercise(&later)), ["17", "18", "19"]);
    // A pickup is no bar of its own; bars that rest together show their first and last.
    let pickup = "  pickup: 1/4\n  bar-numbers: every bar\n  play  s | s s s s | | | s s s s";
    assert_eq!(numbers(&exercise(pickup)), ["1", "2\u{2013}3", "4"]);
}

#[test]
fn a_note_left_to_ring_has_a_short_open_tie() {
    let ring = exercise("  play  s s s c_");
    let ties = ring.kind(Kind::Tie);
    assert_eq!(ties.len(), 1);
    let end = ring.kind(Kind::Barline)[0].ink.x0;
    assert!(ties[0].ink.x1 < end && ties[0].ink.width() < 2.0);
}

#[test]
fn a_question_mark_stands_over_what_was_not_heard_for_certain() {
    let heard = exercise("  play  S? s s s");
    assert_eq!(heard.one(Kind::Unclear).name, "(?)");
    assert!(heard.one(Kind::Unclear).ink.y1 < heard.one(Kind::Accent).ink.y0);
}
