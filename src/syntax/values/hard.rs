//! Values of any length are read in a time that grows with them and no faster.

use super::change::ChangeLine;
use super::kit::KitAttribute;
use super::mark::WrittenMark;
use super::sequence::played;
use super::series::SeriesLine;
use super::stick::WrittenSticking;
use super::swing::WrittenSwing;
use super::tempo::WrittenTempo;
use super::time::TimeSignature;
use super::{length, list, note, paper, speed};
use crate::syntax::Piece;
use std::time::{Duration, Instant};

/// Keys of lines of blocks that are made.
const KEYS: [&str; 18] = [
    "gaps",
    "taps",
    "accents",
    "right",
    "order",
    "sticking",
    "stick",
    "lead",
    "shift",
    "rotate",
    "as",
    "notes",
    "stickings",
    "playable",
    "hands",
    "at-most",
    "turnings",
    "backwards",
];

/// Bytes of a value that is tried.
const LENGTH: usize = 10_000;
/// Ten times what all of them take unoptimised; a square of the length would take longer.
const ENOUGH: Duration = Duration::from_secs(5);

fn read_all(text: &str) {
    let piece = Piece { text, start: 0 };
    for key in KEYS {
        let _ = ChangeLine::read(key, piece);
        let _ = SeriesLine::read(key, piece);
    }
    let _ = (WrittenMark::read(text, true), WrittenMark::read(text, false));
    let _ = (KitAttribute::read(text), WrittenSticking::read(text), WrittenSwing::read(text));
    let _ = (WrittenTempo::read(text), TimeSignature::read(text), played(piece));
    let _ = (note::note(text), note::modulated(text), paper::paper(text));
    let _ = (length::millimetres(text), speed::strokes_a_second(text));
    let _ = (
        list::files(text),
        list::tags(text),
        list::language(text),
        list::choice(text, &[("a", 1)]),
    );
}

#[test]
fn long_values_are_read_in_time() {
    for part in [
        " by ", "1.", "1-99,", " in ", "92 ", "=", "2+", "\"", "dotted ", "on 1 ", "every ", "x",
        " ", "s", "[", ", ", "2 of ", "lead ", "7", "é",
    ] {
        let text = part.repeat(LENGTH / part.len());
        let start = Instant::now();
        read_all(&text);
        read_all(&format!("on {text}"));
        read_all(&format!("a{text}."));
        assert!(start.elapsed() < ENOUGH, "{part:?} took {:?}", start.elapsed());
    }
}
