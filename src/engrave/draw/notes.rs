//! The notes and rests of a bar.

use super::beam_place::PlacedBeam;
use super::canvas::Canvas;
use super::placed_bar::PlacedBar;
use super::tuplets::PlacedTuplet;
use super::{beams, chord, rests, signs, tuplets};
use crate::drawing::GroupKind;
use crate::engrave::measure::voice::VoiceShape;
use crate::engrave::notate::event::{EventKind, WrittenEvent};
use crate::engrave::staff::staff_edges;
use crate::score::PlayerPart;

/// A voice of a bar with the places of its parts.
struct PlacedVoice<'a> {
    shape: &'a VoiceShape,
    /// The x of each event's column.
    xs: &'a [f64],
    beams: &'a [PlacedBeam],
    /// The y of each event that is a rest.
    rests: &'a [f64],
}

/// Draws the notes of a bar; its tuplets are placed, to be drawn when all the line's notes are.
pub fn draw(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    bar: &mut PlacedBar<'_>,
    tuplets: &mut Vec<PlacedTuplet>,
) {
    let engraver = canvas.engraver;
    let staff = part.settings.staff;
    let xs = bar
        .spaced
        .voices
        .each_ref()
        .map(|voice| voice.rhythm.events.iter().map(|e| bar.x(e.at)).collect::<Vec<f64>>());
    let rests =
        bar.spaced.voices.each_ref().map(|voice| rests::heights(engraver, bar, voice, staff));
    let mut beams: Vec<Vec<PlacedBeam>> = Vec::with_capacity(xs.len());
    for ((voice, xs), rests) in bar.spaced.voices.iter_mut().zip(&xs).zip(&rests) {
        beams.push(beams::place(engraver, voice, xs, rests, staff));
    }
    let places = xs.iter().zip(&rests).zip(&beams);
    let voices = || {
        bar.spaced
            .voices
            .iter()
            .zip(places.clone())
            .map(|(shape, ((xs, rests), beams))| PlacedVoice { shape, xs, beams, rests })
    };
    for voice in voices() {
        for index in 0..voice.shape.rhythm.events.len() {
            draw_event(canvas, part, bar, &voice, index);
        }
        beams::draw(canvas, voice.shape, voice.xs, voice.beams);
    }
    for voice in voices() {
        for (chord, x) in voice.shape.chords.iter().zip(voice.xs) {
            if let Some(chord) = chord {
                signs::draw(canvas, chord, *x, staff_edges(staff));
            }
        }
        tuplets.extend(tuplets::place(engraver, bar, voice.shape, voice.xs, voice.beams));
    }
}

/// Draws a chord or a rest as a group.
fn draw_event(
    canvas: &mut Canvas<'_>,
    part: &PlayerPart,
    bar: &PlacedBar<'_>,
    voice: &PlacedVoice<'_>,
    index: usize,
) {
    let Some(event) = voice.shape.rhythm.events.get(index) else { return };
    let chord = voice.shape.chord(index);
    let place = chord.map(|c| c.span);
    canvas.open(group(bar, event), place);
    let x = voice.xs.get(index).copied().unwrap_or(bar.left);
    match chord {
        Some(chord) => {
            let beam = voice.shape.beams.iter().position(|b| b.chords.contains(&index));
            let beam = beam.and_then(|b| voice.beams.get(b));
            chord::draw(canvas, part, chord, x, beam);
        }
        None if rests::rest_is_shared(&bar.spaced, voice.shape, event) => {}
        None => {
            let x = if event.kind == EventKind::BarRest { bar.middle() } else { x };
            let y = voice.rests.get(index).copied().unwrap_or(0.0);
            rests::draw(canvas, event, (x, y), part.settings.staff);
        }
    }
    canvas.close();
}

fn group(bar: &PlacedBar<'_>, event: &WrittenEvent) -> GroupKind {
    GroupKind::Note { bar: bar.index + 1, beat: bar.bar.beat(event.at) }
}
