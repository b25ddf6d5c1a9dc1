//! Beats to the frames in which values are chosen: a beat, or several where one division or one
//! long note covers them.

use super::value::Value;
use crate::score::meter::MeterKind;
use crate::score::{Bar, Division, Hit, Time, Voice};

/// A beat, or several beats that one division or one long note covers, with its divisions.
pub struct Frame<'a> {
    /// Its start in the bar.
    pub start: Time,
    /// Its end.
    pub end: Time,
    /// The divisions that touch it.
    pub divisions: Vec<&'a Division>,
    /// Its beat is dotted.
    pub dotted: bool,
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
    let dotted = bar.meter.kind == MeterKind::Compound;
    let mut frames: Vec<Frame<'a>> = Vec::new();
    for pair in edges.windows(2) {
        let [start, end] = [pair[0], pair[1]];
        if let Some(last) = frames.last_mut().filter(|last| last.end > start) {
            last.end = last.end.max(end);
            continue;
        }
        frames.push(Frame { start, end, divisions: Vec::new(), dotted });
        gather(&mut frames, &voice.divisions);
    }
    for hit in &voice.hits {
        join_for_long_note(&mut frames, hit);
    }
    frames
}

/// Gives the last frame the divisions that touch it, and makes it as long as they are.
fn gather<'a>(frames: &mut [Frame<'a>], divisions: &'a [Division]) {
    let Some(frame) = frames.last_mut() else { return };
    for division in divisions {
        if division.start < frame.end && division.start + division.length > frame.start {
            frame.end = frame.end.max(division.start + division.length);
            frame.divisions.push(division);
        }
    }
}

/// Beats that a single long note fills are one frame, so that it is written as one note.
fn join_for_long_note(frames: &mut Vec<Frame<'_>>, hit: &Hit) {
    let Some(until) = hit.until else { return };
    let Some(first) = frames.iter().position(|f| f.start == hit.at) else { return };
    let Some(last) = frames.iter().position(|f| f.end == until) else { return };
    let plain = frames.get(first..=last).is_some_and(|f| f.iter().all(|f| f.divisions.is_empty()));
    if last > first && plain && Value::exactly(until - hit.at).is_some() {
        frames[first].end = until;
        frames.drain(first + 1..=last);
    }
}
