//! Ties. They hang on the side away from the stems where there is one voice; two voices keep theirs
//! to themselves, on the side of their stems (Gould, *Behind Bars*, "Ties", from memory).

use super::abbreviation::Shown;
use super::canvas::Canvas;
use super::chord::ChordShape;
use super::curve;
use super::engraver::Engraver;
use super::rhythm::EventKind;
use super::system::PlacedBar;
use crate::drawing::{Kind, Mark, Shape};
use crate::score::Time;
use crate::score::{Bar, Block, Voice};
use kurbo::Point;

/// From a line's clef or its end to a tie that comes from or goes to another line.
const LINE_END_GAP: f64 = 0.2;
/// The least and the most a tie reaches into the next line.
const STUB: (f64, f64) = (1.0, 2.0);

/// Room a line needs at its head for a tie that comes from the line before.
pub const ROOM: f64 = 0.8;

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

    /// x where a tie ends and where one begins.
    fn ends(&self) -> (f64, f64) {
        match self.is_beneath() {
            true => (self.x - 0.3, self.x + 0.3),
            false => (self.x - self.chord.left - 0.15, self.x + self.chord.right + 0.15),
        }
    }
}

/// Draws the ties of a line. Where a repeat sign stands for a bar, ties end at its barlines as they
/// do at the ends of a line.
pub fn draw(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    bars: &[PlacedBar<'_>],
) {
    let written = |bar: &PlacedBar<'_>| bar.measured.shown == Shown::Notes;
    for run in bars.chunk_by(|a, b| written(a) && written(b)) {
        if run.first().is_some_and(written) {
            draw_run(canvas, engraver, block, run);
        }
    }
}

fn draw_run(
    canvas: &mut Canvas<'_>,
    engraver: &Engraver<'_>,
    block: &Block,
    bars: &[PlacedBar<'_>],
) {
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return };
    let end = last.right - last.measured.closing - LINE_END_GAP;
    for voice in 0..2 {
        let notes = notes(bars, voice);
        let mut draw = |from: f64, to: f64, note: &Tied<'_>| {
            let stems = note.chord.stems.sign();
            let side = if note.apart { stems } else { -stems };
            let drop = if note.is_beneath() { 0.62 } else { 0.2 };
            for head in &note.chord.heads {
                let y = head.y() + side * drop;
                let path = curve::bow(engraver, Point::new(from, y), Point::new(to, y), side);
                let mark = Mark::new(Kind::Tie, Shape::Path(path));
                canvas.push_at(mark, engraver.place(note.chord.span));
            }
        };
        if let Some(note) = notes.first()
            && comes_in(block, first.index, voice)
        {
            let to = note.ends().0;
            let from = match first.first_of_line {
                true => (first.left - LINE_END_GAP).min(to - STUB.0),
                false => first.left + LINE_END_GAP,
            };
            draw(from.max(to - STUB.1), to, note);
        }
        for pair in notes.windows(2) {
            if pair[0].tied {
                draw(pair[0].ends().1, pair[1].ends().0, &pair[0]);
            }
        }
        if let Some(note) = notes.last().filter(|note| note.tied) {
            draw(note.ends().1, end, note);
        }
    }
}

fn notes<'a>(bars: &'a [PlacedBar<'_>], voice: usize) -> Vec<Tied<'a>> {
    let mut notes = Vec::new();
    for bar in bars {
        let apart = !bar.bar.lower.hits.is_empty();
        let shape = &bar.measured.voices[voice];
        for (event, chord) in shape.rhythm.events.iter().zip(&shape.chords) {
            if let (EventKind::Chord { tied, .. }, Some(chord)) = (event.kind, chord) {
                let x = bar.x(event.at);
                notes.push(Tied { x, chord, tied, apart });
            }
        }
    }
    notes
}

/// Whether a voice of a bar begins with a note that is tied from the bar before.
pub fn comes_in(block: &Block, index: usize, voice: usize) -> bool {
    let before = index.checked_sub(1).and_then(|before| block.bars.get(before));
    let tied = before.and_then(|bar| of(bar, voice).hits.last()).is_some_and(|hit| hit.tied);
    let first = block.bars.get(index).and_then(|bar| of(bar, voice).hits.first());
    first.is_some_and(|hit| hit.at == Time::ZERO && (hit.continued || tied))
}

fn of(bar: &Bar, voice: usize) -> &Voice {
    if voice == 0 { &bar.upper } else { &bar.lower }
}
