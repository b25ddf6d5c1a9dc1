//! The room of grace notes: small, before the beat, in room of their own (Gould, *Behind Bars*,
//! "Grace notes", from memory).

use super::chord::ChordShape;
use crate::engrave::engraver::Engraver;
use crate::engrave::staff::y_of;
use crate::font::Glyph;

/// Room to the left of the first grace note (no source).
const BEFORE: f64 = 0.1;
/// How much of a flag's width a plain head may stand under (no source).
const FLAG_SHARE: f64 = 0.8;
/// Room beside a flag where the chord has more than a plain head (no source).
const FLAG_ROOM: f64 = 0.2;

/// How far grace notes reach to the left of their main note's ink; zero without any.
pub fn width(engraver: &Engraver<'_>, chord: &ChordShape) -> f64 {
    let Some(more) = chord.grace.len().checked_sub(1) else { return 0.0 };
    let head = engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width();
    let style = engraver.style;
    chord.grace_room
        + gap(engraver, chord)
        + head * style.grace_scale
        + more as f64 * style.grace_pitch
        + BEFORE
}

/// From the last grace head to the chord's ink. A single grace note's flag leans over the gap, so
/// it is wider where the chord has more than a plain head there.
fn gap(engraver: &Engraver<'_>, chord: &ChordShape) -> f64 {
    let style = engraver.style;
    let music = &engraver.fonts.music;
    let top = chord.grace.last().map_or(0, |head| head.position);
    let plain = chord.highest() <= top && !chord.has_ghost();
    let flag = music.bounds(Glyph::FLAG_8TH_UP).width() * style.grace_scale;
    match (chord.grace.len(), plain) {
        (1, true) => style.grace_gap.max(flag * FLAG_SHARE),
        (1, false) => style.grace_gap.max(flag + FLAG_ROOM),
        _ => style.grace_gap,
    }
}

/// y of the ends of the stems of a chord's grace notes: all at one height, over the highest of them.
pub fn tip(engraver: &Engraver<'_>, chord: &ChordShape) -> f64 {
    let highest = chord.grace.iter().map(|head| head.position).max().unwrap_or(0);
    y_of(highest) - engraver.style.grace_stem
}

/// The x of a chord's first and last grace note and the y of their stems' ends, for a beam that
/// passes over them; `x` is the centre of the chord's column.
pub fn under_beam(engraver: &Engraver<'_>, chord: &ChordShape, x: f64) -> Vec<(f64, f64)> {
    let tip = tip(engraver, chord);
    let centres = centres(engraver, chord);
    let ends = centres.first().into_iter().chain(centres.last());
    ends.map(|centre| (x + centre, tip)).collect()
}

/// Centres of the grace heads, left to right, from the centre of the main note's column.
pub fn centres(engraver: &Engraver<'_>, chord: &ChordShape) -> Vec<f64> {
    let style = engraver.style;
    let head = engraver.fonts.music.bounds(Glyph::NOTEHEAD_BLACK).width() * style.grace_scale;
    let last = -chord.left - chord.grace_room - gap(engraver, chord) - head / 2.0;
    (0..chord.grace.len()).rev().map(|i| last - i as f64 * style.grace_pitch).collect()
}
