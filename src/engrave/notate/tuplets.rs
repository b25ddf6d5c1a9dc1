//! Divisions to tuplets, and to stretches that are written at one scale.

use super::event::Tuplet;
use super::frames::Frame;
use super::value::Value;
use crate::score::{Division, Time};
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
        let Count { normal, ratio } = count(written, division.parts, self.dotted);
        let (start, end) = (division.start, division.start + division.length);
        let mut inside = scale;
        if normal != division.parts {
            let (number, level) = (division.parts, scale.level);
            self.tuplets.push(Tuplet { start, end, number, normal, ratio, level });
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
        if count(division.length * scale, division.parts, None).normal == division.parts {
            found.extend(tuplets_in(&division.inner, scale));
        } else {
            found.push(division);
        }
    }
    found
}

/// How a division is written.
struct Count {
    /// How many plain notes its parts stand for.
    normal: u32,
    /// That is to be printed with its number.
    ratio: bool,
}

/// How many plain notes `parts` notes stand for in a written stretch: the greatest count of the
/// form odd·2ⁿ below `parts`, so that three stand for two, five to seven for four, and in a dotted
/// beat four or five for three (Gould, *Behind Bars*, "Tuplets", from memory). Equal to `parts`
/// where plain values say it. Fewer notes than there are dotted beats are dotted themselves. Where
/// the number alone would not tell what it stands for, the ratio is printed.
fn count(written: Time, parts: u32, dotted: Option<Time>) -> Count {
    let mut normal = normal_count(written.numerator(), parts);
    let one = written / i64::from(parts.max(1));
    if normal == parts || (normal > parts && Value::exactly(one).is_some()) {
        normal = parts;
        return Count { normal, ratio: false };
    }
    let beats = dotted.map(|beat| written.ratio(beat)).filter(|beats| beats.is_integer());
    if let Some(beats) = beats.map(|beats| beats.to_integer()).filter(|beats| *beats > 1)
        && normal > parts
    {
        normal = normal_count(beats, parts);
        return Count { normal, ratio: true };
    }
    Count { normal, ratio: normal >= parts.saturating_mul(2) || (normal % 2 == 1 && normal > 3) }
}

fn normal_count(numerator: i64, parts: u32) -> u32 {
    let odd = u32::try_from(numerator).unwrap_or(1);
    let odd = odd >> odd.trailing_zeros().min(31);
    let mut normal = odd.max(1);
    while normal < parts && normal <= u32::MAX / 2 {
        if normal * 2 > parts {
            return normal;
        }
        normal *= 2;
    }
    normal
}
