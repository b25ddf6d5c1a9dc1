//! Ties. They hang on the side away from the stems where there is one voice; two voices keep theirs
//! to themselves, on the side of their stems (Gould, *Behind Bars*, "Ties", from memory).

use super::canvas::Canvas;
use super::outline;
use super::placed_bar::PlacedBar;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::measure::glyphs::flag_glyph;
use crate::engrave::notate::event::EventKind;
use crate::engrave::notate::shown::Shown;
use crate::engrave::notate::ties::comes_in;
use crate::engrave::space::widths::TIE_ROOM;
use crate::engrave::staff::outer_line;
use crate::score::PlayerPart;
use crate::score::settings::Staff;
use kurbo::Point;
use std::cmp::Ordering;

/// The least height of a tie (no source).
const LEAST_HEIGHT: f64 = 0.3;
/// From a line's clef or its end to a tie that comes from or goes to another line (no source).
const LINE_END_GAP: f64 = 0.2;
/// The most a tie reaches into the next line (no source).
const STUB: f64 = 3.0;
/// The same where it comes out of a bar that a sign stands for (no source).
const SHORT_STUB: f64 = 2.0;
/// How far the middle of a tie stands from a staff line at least (Ross, *The Art of Music Engraving
/// and Processing*, "Ties", from memory: it lies in a space).
const CLEAR_OF_LINES: f64 = 0.3;
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
    /// A flag hangs on its stem.
    flagged: bool,
}

/// How long the open tie of a note is that is left to ring (no source).
const RINGING: f64 = 1.7;

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

    /// The same for the tie of one head: the ties of a chord of one voice curve apart (Gould,
    /// *Behind Bars*, "Ties", from memory).
    fn side_of(&self, y: f64) -> f64 {
        let heads = &self.chord.heads;
        let below = heads.iter().filter(|head| head.y() > y).count();
        let above = heads.iter().filter(|head| head.y() < y).count();
        match below.cmp(&above) {
            _ if self.apart => self.side(),
            Ordering::Less => 1.0,
            Ordering::Greater => -1.0,
            Ordering::Equal => self.side(),
        }
    }

    /// x where a tie ends and where one begins; outside the brackets of a ghost.
    fn ends(&self) -> (f64, f64) {
        match self.is_beneath() && !self.chord.has_ghost() {
            true => (self.x - BENEATH, self.x + BENEATH),
            false => (self.x - self.chord.left - BESIDE, self.x + self.chord.right + BESIDE),
        }
    }
}

/// Draws the ties of a line. Where a repeat sign stands for a bar, or its notes are left blank, ties end at
/// its barlines as they do at the ends of a line.
pub fn draw(canvas: &mut Canvas<'_>, part: &PlayerPart, bars: &[PlacedBar<'_>]) {
    let blank = part.settings.blank;
    let written =
        |bar: &PlacedBar<'_>| bar.spaced.shown == Shown::Notes && !blank.hides_notes_of(bar.index);
    for run in bars.chunk_by(|a, b| written(a) && written(b)) {
        if run.first().is_some_and(written) {
            draw_run(canvas, part, run);
        }
    }
}

fn draw_run(canvas: &mut Canvas<'_>, part: &PlayerPart, bars: &[PlacedBar<'_>]) {
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else { return };
    let end = last.right - last.spaced.closing - LINE_END_GAP;
    let staff = part.settings.staff;
    for voice in 0..2 {
        let notes = notes(bars, voice);
        if let Some(note) = notes.first()
            && comes_in(part, first.index, voice)
        {
            let to = note.ends().0;
            let from = match first.first_of_line {
                true => (first.left - TIE_ROOM).max(to - STUB),
                false => (first.left + LINE_END_GAP).max(to - SHORT_STUB),
            };
            draw_tie(canvas, staff, from, to, note);
        }
        for pair in notes.windows(2) {
            if pair[0].tied {
                draw_tie(canvas, staff, pair[0].ends().1, pair[1].ends().0, &pair[0]);
            }
        }
        for note in notes.iter().filter(|note| note.chord.rings) {
            let from = note.ends().1;
            // Out of the way of a flag.
            let away = note.flagged.then(|| -note.chord.stems.sign());
            draw_ties(canvas, staff, (from, from + RINGING), (note, away));
        }
        if let Some(note) = notes.last().filter(|note| note.tied) {
            draw_tie(canvas, staff, note.ends().1, end, note);
        }
    }
}

/// Draws ties from one x to another at the heads of a note.
fn draw_tie(canvas: &mut Canvas<'_>, staff: Staff, from: f64, to: f64, note: &Tied<'_>) {
    draw_ties(canvas, staff, (from, to), (note, None));
}

/// The same, all on one side where that is given.
fn draw_ties(
    canvas: &mut Canvas<'_>,
    staff: Staff,
    (from, to): (f64, f64),
    (note, side): (&Tied<'_>, Option<f64>),
) {
    let engraver = canvas.engraver;
    let (beneath, beside) = DROP;
    let drop = if note.is_beneath() { beneath } else { beside };
    // Two instruments may share a place on the staff.
    let mut heights: Vec<f64> = note.chord.heads.iter().map(|head| head.y()).collect();
    heights.dedup();
    for own in heights {
        let side = side.unwrap_or_else(|| note.side_of(own));
        let y = past_ledger(own, own + side * drop, staff);
        let height = in_a_space(y, side * outline::bow_height(to - from), staff);
        let ends = (Point::new(from, y), Point::new(to, y));
        let path = outline::bow_of_height(engraver, ends.0, ends.1, height);
        let mark = Mark::new(Kind::Tie, Shape::Path(path));
        canvas.push_at(mark, Some(note.chord.span));
    }
}

/// `y`, where a tie of a head ends, past the ledger line that the head stands next to on that side.
fn past_ledger(head: f64, y: f64, staff: Staff) -> f64 {
    let side = (y - head).signum();
    let line = head + side / 2.0;
    let outermost = f64::from(outer_line(staff)) / 2.0;
    let is_ledger = staff == Staff::FiveLines
        && line.abs() > outermost
        && line.abs() < head.abs()
        && line.fract() == 0.0;
    match is_ledger && (y - line) * side < CLEAR_OF_LINES {
        true => line + side * CLEAR_OF_LINES,
        false => y,
    }
}

/// The height of a bow with ends at `y` whose middle lies in a space and not on a staff line.
fn in_a_space(y: f64, height: f64, staff: Staff) -> f64 {
    let apex = y + height;
    let line = apex.round();
    let off = apex - line;
    // Two steps are a space.
    let outermost = f64::from(outer_line(staff)) / 2.0;
    if staff == Staff::NoLine || line.abs() > outermost || off.abs() >= CLEAR_OF_LINES {
        return height;
    }
    // Away from the line on the side it is nearer to, but never flat.
    let moved = line + CLEAR_OF_LINES.copysign(off) - y;
    let other = line + CLEAR_OF_LINES.copysign(-off) - y;
    let side = height.signum();
    if moved * side >= LEAST_HEIGHT { moved } else { other }
}

fn notes<'a>(bars: &'a [PlacedBar<'_>], voice: usize) -> Vec<Tied<'a>> {
    let mut notes = Vec::new();
    for bar in bars {
        let apart = bar.bar.has_two_voices();
        let shape = &bar.spaced.voices[voice];
        for (index, (event, chord)) in shape.rhythm.events.iter().zip(&shape.chords).enumerate() {
            if let (EventKind::Chord { tied, .. }, Some(chord)) = (event.kind, chord) {
                let x = bar.x(event.at);
                let flagged =
                    !shape.is_beamed(index) && flag_glyph(chord.value, chord.stems).is_some();
                notes.push(Tied { x, chord, tied, apart, flagged });
            }
        }
    }
    notes
}
