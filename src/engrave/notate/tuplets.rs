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
}

/// Splits a frame into stretches of one scale and notes its tuplets.
pub fn divide(frame: &Frame<'_>, stretches: &mut Vec<ScaledStretch>, tuplets: &mut Vec<Tuplet>) {
    let scale = Ratio::from_integer(1);
    let plain = |start, end| ScaledStretch { start, end, scale, dotted_rests: frame.dotted };
    let mut at = frame.start;
    for division in &frame.divisions {
        if division.start > at {
            stretches.push(plain(at, division.start));
        }
        divide_division(division, scale, 0, stretches, tuplets);
        at = division.start + division.length;
    }
    if at < frame.end {
        stretches.push(plain(at, frame.end));
    }
}

/// The stretches of a division written at `scale` outside it. The score bounds how deep divisions
/// nest.
fn divide_division(
    division: &Division,
    scale: Ratio<i64>,
    level: usize,
    stretches: &mut Vec<ScaledStretch>,
    tuplets: &mut Vec<Tuplet>,
) {
    let written = division.length * scale;
    let normal = normal_count(written, division.parts);
    let end = division.start + division.length;
    let mut inner_scale = scale;
    let mut inner_level = level;
    if normal != division.parts {
        tuplets.push(Tuplet { start: division.start, end, number: division.parts, normal, level });
        inner_scale = scale * Ratio::new(i64::from(division.parts), i64::from(normal));
        inner_level += 1;
    }
    let mut at = division.start;
    let plain = |start, end| ScaledStretch { start, end, scale: inner_scale, dotted_rests: false };
    for inner in &division.inner {
        if inner.start > at {
            stretches.push(plain(at, inner.start));
        }
        divide_division(inner, inner_scale, inner_level, stretches, tuplets);
        at = inner.start + inner.length;
    }
    if at < end {
        stretches.push(plain(at, end));
    }
}

/// How many plain notes `parts` notes stand for in a written stretch: the greatest count of the
/// form odd·2ⁿ below `parts`, so that three stand for two, five to seven for four, and in a dotted
/// beat four or five for three (Gould, *Behind Bars*, "Tuplets", from memory). Equal to `parts`
/// where plain values say it.
fn normal_count(written: Time, parts: u32) -> u32 {
    let odd = u32::try_from(written.numerator()).unwrap_or(1);
    let odd = odd >> odd.trailing_zeros().min(31);
    let mut normal = odd.max(1);
    while normal < parts && normal <= u32::MAX / 2 {
        if normal * 2 > parts {
            return normal;
        }
        normal *= 2;
    }
    if normal > parts && Value::exactly(written / i64::from(parts.max(1))).is_some() {
        return parts;
    }
    normal
}
