//! Columns: all that begins at one moment, with its ink to the left and to the right.

use super::glyphs::{flag_glyph, rest_glyph};
use super::voice::VoiceShape;
use super::{grace, rows};
use crate::engrave::engraver::Engraver;
use crate::engrave::notate::event::EventKind;
use crate::score::{Bar, Time};

/// Room of the dot after a rest (no source).
const REST_DOT: f64 = 0.8;

/// Room of the open tie of a note that rings (no source).
const RINGING: f64 = 2.0;

/// All that begins at one moment.
#[derive(Clone, Debug)]
pub struct Column {
    /// When, in the bar.
    pub at: Time,
    /// Ink to the left of its centre: heads, grace notes, words.
    pub left: f64,
    /// Ink to the right of its centre.
    pub right: f64,
}

/// The columns of a bar by time; at least one.
pub fn columns(engraver: &Engraver<'_>, bar: &Bar, voices: &[VoiceShape; 2]) -> Vec<Column> {
    let times = column_times(bar, voices);
    let mut columns: Vec<Column> =
        times.iter().map(|at| Column { at: *at, left: 0.0, right: 0.0 }).collect();
    for voice in voices {
        widen_for_ink(engraver, voice, &mut columns);
    }
    columns
}

fn column_times(bar: &Bar, voices: &[VoiceShape; 2]) -> Vec<Time> {
    let mut times: Vec<Time> = voices
        .iter()
        .flat_map(|voice| voice.rhythm.events.iter())
        .filter(|event| event.kind != EventKind::BarRest)
        .map(|event| event.at)
        .collect();
    times.extend(rows::times(bar));
    if times.is_empty() {
        times.push(Time::ZERO);
    }
    times.sort_unstable();
    times.dedup();
    times
}

fn widen_for_ink(engraver: &Engraver<'_>, voice: &VoiceShape, columns: &mut [Column]) {
    let music = &engraver.fonts.music;
    for (index, event) in voice.rhythm.events.iter().enumerate() {
        let Some(column) = columns.iter_mut().find(|c| c.at == event.at) else { continue };
        match voice.chord(index) {
            Some(shape) => {
                let grace = grace::width(engraver, shape);
                column.left = column.left.max(shape.left + grace);
                let flag = match voice.is_beamed(index) {
                    false => flag_glyph(shape.value, shape.stems)
                        .map_or(0.0, |(flag, _)| shape.stem_x + music.bounds(flag).x1),
                    true => 0.0,
                };
                let stroke =
                    shape.stem_mark().map_or(0.0, |(glyph, _)| music.bounds(glyph).width() / 2.0);
                column.left = column.left.max(stroke - shape.stem_x);
                column.right = column.right.max(shape.right).max(flag);
                column.right = column.right.max(shape.stem_x + stroke);
                if shape.rings {
                    column.right = column.right.max(shape.right + RINGING);
                }
            }
            None if event.kind == EventKind::Rest => {
                let bounds = music.bounds(rest_glyph(event.value));
                let dot = if event.value.dots > 0 { REST_DOT } else { 0.0 };
                column.left = column.left.max(bounds.width() / 2.0);
                column.right = column.right.max(bounds.width() / 2.0 + dot);
            }
            None => {}
        }
    }
}
