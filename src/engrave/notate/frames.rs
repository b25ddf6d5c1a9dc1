//! Beats to the frames in which values are chosen: a beat, or several where one division covers
//! them.

use crate::score::{Bar, Division, Time, Voice};

/// A beat, or several beats that one division covers, with its divisions.
pub struct Frame<'a> {
    /// Its start in the bar.
    pub start: Time,
    /// Its end.
    pub end: Time,
    /// The divisions that touch it.
    pub divisions: Vec<&'a Division>,
    /// The dotted beat of compound time.
    pub dotted: Option<Time>,
}

/// Beats and divisions of a bar in order, without gaps.
pub fn frames<'a>(bar: &Bar, voice: &'a Voice) -> Vec<Frame<'a>> {
    let mut edges = vec![Time::ZERO];
    let mut at = Time::ZERO;
    for beat in bar.meter.beats() {
        at += beat;
        if at > bar.offset && at - bar.offset < bar.length {
            edges.push(at - bar.offset);
        }
    }
    edges.push(bar.length);
    let dotted = bar.meter.dotted_beat();
    let mut frames: Vec<Frame<'a>> = Vec::new();
    for pair in edges.windows(2) {
        let [start, end] = [pair[0], pair[1]];
        if let Some(last) = frames.last_mut().filter(|last| last.end > start) {
            last.end = last.end.max(end);
        } else {
            frames.push(Frame { start, end, divisions: Vec::new(), dotted });
        }
        gather(&mut frames, &voice.divisions);
    }
    frames
}

/// Gives the last frame the divisions that touch it and that it does not have yet, and makes it as long as
/// they are.
fn gather<'a>(frames: &mut [Frame<'a>], divisions: &'a [Division]) {
    let Some(frame) = frames.last_mut() else { return };
    for division in divisions {
        let had = frame.divisions.last().map_or(frame.start, |last| last.start + last.length);
        if division.start < frame.end && division.start >= had {
            frame.end = frame.end.max(division.start + division.length);
            frame.divisions.push(division);
        }
    }
}
