//! Ties. They hang on the side away from the stems where there is one voice; two voices keep theirs
//! to themselves, on the side of their stems (Gould, *Behind Bars*, "Ties", from memory).

use super::canvas::Canvas;
use super::outline;
use super::placed_bar::PlacedBar;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::notate::event::EventKind;
use crate::engrave::notate::shown::Shown;
use crate::engrave::notate::ties::comes_in;
use crate::score::Block;
use kurbo::Point;

/// From a line's clef or its end to a tie that comes from or goes to another line (no source).
const LINE_END_GAP: f64 = 0.2;
/// The least and the most a tie reaches into the next line (no source).
const STUB: (f64, f64) = (1.0, 2.0);
/// From the middle of a single head to the end of a tie beneath it (no source).
const BENEATH: f64 = 0.3;
/// From a chord's ink to the end of a tie beside it (no source).
const BESIDE: f64 = 0.15;
/// From the middle of a head to the height of a tie's ends, beneath it and beside it (no source).
const DROP: (f64, f64) = (0.62, 0.2);

/// A note with its ties.
struct Tied<'a> {
    x: f64,
    chord: &'a ChordShape,
    /// Goes on into the next note.
    tied: bool,
    /// Its bar has two voices.
    apart: bool,
}

impl Tied<'_> {
    /// Under a single head a tie begins and ends beneath it; between the heads of a chord there is
    /// no room for that, and it runs from ink to ink.
    fn is_beneath(&self) -> bool {
        self.chord.heads.len() < 2 && !self.apart
    }

    /// 1 for ties that hang below their heads, -1 for those that stand above.
    fn side(&self) -> f64 {
        let stems = self.chord.stems.sign();
        if self.apart { stems } else { -stems }
    }

    /// x where a tie ends and where one begins.
    fn ends(&self) -> (f64, f64) {
        match self.is_beneath() {
            true => (self.x - BENEATH, self.x + BENEATH),
            false => (self.x - self.chord.left - BESIDE, self.x + self.chord.right + BESIDE),
        }
    }
}

/// Draws the ties of a line. Where a repeat sign stands for a bar, ties end at its barlines as they
/// do at the ends of a line.
pub fn draw(canvas: &mut Canvas<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    let written = |bar: &PlacedBar<'_>| bar.spaced.shown == Shown::Notes;
    for run in bars.chunk_by(|a, b| written(a) && written(b)) {
        if run.first().is_some_and(written) {
            draw_run(canvas, block, run);
        }
    }
}

fn draw_run(canvas: &mut Canvas<'_>, block: &Block, bars: &[PlacedBar<'_>]) {
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return };
    let end = last.right - last.spaced.closing - LINE_END_GAP;
    for voice in 0..2 {
        let notes = notes(bars, voice);
        if let Some(note) = notes.first()
            && comes_in(block, first.index, voice)
        {
            let to = note.ends().0;
            let from = match first.first_of_line {
                true => (first.left - LINE_END_GAP).min(to - STUB.0),
                false => first.left + LINE_END_GAP,
            };
            draw_tie(canvas, from.max(to - STUB.1), to, note);
        }
        for pair in notes.windows(2) {
            if pair[0].tied {
                draw_tie(canvas, pair[0].ends().1, pair[1].ends().0, &pair[0]);
            }
        }
        if let Some(note) = notes.last().filter(|note| note.tied) {
            draw_tie(canvas, note.ends().1, end, note);
        }
    }
}

/// Draws ties from one x to another at the heads of a note.
fn draw_tie(canvas: &mut Canvas<'_>, from: f64, to: f64, note: &Tied<'_>) {
    let engraver = canvas.engraver;
    let side = note.side();
    let (beneath, beside) = DROP;
    let drop = if note.is_beneath() { beneath } else { beside };
    for head in &note.chord.heads {
        let y = head.y() + side * drop;
        let path = outline::bow(engraver, Point::new(from, y), Point::new(to, y), side);
        let mark = Mark::new(Kind::Tie, Shape::Path(path));
        canvas.push_at(mark, Some(note.chord.span));
    }
}

fn notes<'a>(bars: &'a [PlacedBar<'_>], voice: usize) -> Vec<Tied<'a>> {
    let mut notes = Vec::new();
    for bar in bars {
        let apart = !bar.bar.lower.hits.is_empty();
        let shape = &bar.spaced.voices[voice];
        for (event, chord) in shape.rhythm.events.iter().zip(&shape.chords) {
            if let (EventKind::Chord { tied, .. }, Some(chord)) = (event.kind, chord) {
                let x = bar.x(event.at);
                notes.push(Tied { x, chord, tied, apart });
            }
        }
    }
    notes
}
