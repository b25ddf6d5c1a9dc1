//! Divisions to tuplets, and to stretches that are written at one scale.

use super::event::Tuplet;
use super::frames::Frame;
use crate::score::{Division, NoteCount, Time};
use num_rational::Ratio;

/// A stretch that is written at one scale, without tuplets of its own inside.
pub struct ScaledStretch {
    /// Its start in the bar.
    pub start: Time,
    /// Its end.
    pub end: Time,
    /// Written time for each unit of real time.
    pub scale: Ratio<i64>,
    /// Rests may be dotted here (a dotted beat).
    pub dotted_rests: bool,
    /// It lies under a tuplet.
    pub in_tuplet: bool,
}

/// Splits a frame into stretches of one scale and notes its tuplets.
pub fn divide(frame: &Frame<'_>, stretches: &mut Vec<ScaledStretch>, tuplets: &mut Vec<Tuplet>) {
    let mut divider = Divider { dotted: frame.dotted, stretches: Vec::new(), tuplets };
    let plain = Scale { of: Ratio::from_integer(1), level: 0 };
    let mut at = frame.start;
    for division in &frame.divisions {
        divider.stretch(at, division.start, plain);
        divider.division(division, plain);
        at = division.start + division.length;
    }
    divider.stretch(at, frame.end, plain);
    stretches.append(&mut divider.stretches);
}

/// Written time for each unit of real time, and how many tuplets stand around.
#[derive(Clone, Copy)]
struct Scale {
    of: Ratio<i64>,
    level: usize,
}

/// A frame that is being divided.
struct Divider<'t> {
    /// The dotted beat of compound time.
    dotted: Option<Time>,
    stretches: Vec<ScaledStretch>,
    tuplets: &'t mut Vec<Tuplet>,
}

impl Divider<'_> {
    /// A stretch at one scale, if it has any length.
    fn stretch(&mut self, start: Time, end: Time, scale: Scale) {
        if start < end {
            let in_tuplet = scale.level > 0;
            let dotted_rests = self.dotted.is_some() && !in_tuplet;
            self.stretches.push(ScaledStretch {
                start,
                end,
                scale: scale.of,
                dotted_rests,
                in_tuplet,
            });
        }
    }

    /// The stretches of a division. The score bounds how deep divisions nest. What is divided in
    /// plain values inside it makes no stretch of its own, so that a note may last into it.
    fn division(&mut self, division: &Division, scale: Scale) {
        let written = division.length * scale.of;
        let NoteCount { normal, ratio } = NoteCount::of(written, division.parts, self.dotted);
        let (start, end) = (division.start, division.start + division.length);
        let mut inside = scale;
        if normal != division.parts {
            let (number, level) = (division.parts, scale.level);
            let across = division.across;
            self.tuplets.push(Tuplet { start, end, number, normal, ratio, level, across });
            inside.of *= Ratio::new(i64::from(division.parts), i64::from(normal));
            inside.level += 1;
        }
        let mut at = start;
        for inner in tuplets_in(&division.inner, inside.of) {
            self.stretch(at, inner.start, inside);
            self.division(inner, inside);
            at = inner.start + inner.length;
        }
        self.stretch(at, end, inside);
    }
}

/// The outermost of divisions, and of those inside them, that are tuplets at a scale.
fn tuplets_in(divisions: &[Division], scale: Ratio<i64>) -> Vec<&Division> {
    let mut found = Vec::new();
    for division in divisions {
        if NoteCount::of(division.length * scale, division.parts, None).is_plain(division.parts) {
            found.extend(tuplets_in(&division.inner, scale));
        } else {
            found.push(division);
        }
    }
    found
}
