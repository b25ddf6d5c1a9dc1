//! The beams of a voice: each placed, then drawn.

use super::beam_place;
use super::beam_place::PlacedBeam;
use super::canvas::Canvas;
use super::outline;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::measure::glyphs::rest_glyph;
use crate::engrave::measure::voice::VoiceShape;
use crate::engrave::notate::beams::{Beam, BeamLine, Side};
use crate::engrave::staff::Stems;
use crate::score::settings::Staff;
use kurbo::Point;
use std::ops::Range;

/// The most of the distance to the next stem that a beamlet takes (no source).
const BEAMLET_SHARE: f64 = 0.6;
/// The most drums of the feet whose beams share one height: kick and hi-hat foot (no source).
const DRUMS_LEVELLED: usize = 2;

/// Places the beams of a voice, whose events stand at `xs` and its rests at the heights `rests`.
pub fn place(
    engraver: &Engraver<'_>,
    voice: &mut VoiceShape,
    xs: &[f64],
    rests: &[f64],
    staff: Staff,
) -> Vec<PlacedBeam> {
    let mut placed = Vec::new();
    for beam in &voice.beams {
        let (first, last) =
            (beam.chords.first().copied().unwrap_or(0), beam.chords.last().copied().unwrap_or(0));
        let under: Vec<(f64, f64)> = (first..last)
            .filter(|index| voice.chords.get(*index).is_some_and(Option::is_none))
            .filter_map(|index| {
                let glyph = rest_glyph(voice.rhythm.events.get(index)?.value);
                let bounds = engraver.fonts.music.bounds(glyph);
                let edge = if voice.stems == Stems::Up { bounds.y0 } else { bounds.y1 };
                Some((*xs.get(index)?, rests.get(index)? + edge))
            })
            .collect();
        let mut chords: Vec<(f64, &mut ChordShape)> = voice
            .chords
            .iter_mut()
            .enumerate()
            .filter(|(index, _)| beam.chords.contains(index))
            .filter_map(|(index, chord)| Some((*xs.get(index)?, chord.as_mut()?)))
            .collect();
        placed.push(beam_place::place(engraver, beam, &mut chords, &under, staff));
    }
    if voice.stems == Stems::Down {
        level(voice, &mut placed);
    }
    placed
}

/// Brings neighbouring beams of a bar to one level height as long as they hold no more than the
/// same two drums: a kick that is struck in changing rhythms keeps one line (no source).
fn level(voice: &mut VoiceShape, placed: &mut [PlacedBeam]) {
    let mut first = 0;
    while first < placed.len() {
        let run = same_drums(voice, first);
        first = run.end;
        let (Some(beams), Some(places)) = (voice.beams.get(run.clone()), placed.get_mut(run))
        else {
            return;
        };
        if places.len() < 2 {
            continue;
        }
        let ends = places.iter().flat_map(|place| [place.y, place.y_at(place.end)]);
        let y = ends.fold(f64::NEG_INFINITY, f64::max);
        for place in places {
            (place.y, place.slope) = (y, 0.0);
        }
        for chord in beams.iter().flat_map(|beam| &beam.chords) {
            if let Some(chord) = voice.chords.get_mut(*chord).and_then(Option::as_mut) {
                chord.stem_tip = y;
            }
        }
    }
}

/// The beams from one on that hold no more than the same two drums; that one at least.
fn same_drums(voice: &VoiceShape, first: usize) -> Range<usize> {
    let mut drums: Vec<i32> = Vec::new();
    let mut end = first;
    for beam in voice.beams.iter().skip(first) {
        let chords = beam.chords.iter().filter_map(|chord| voice.chord(*chord));
        drums.extend(chords.flat_map(|chord| &chord.heads).map(|head| head.position));
        drums.sort_unstable();
        drums.dedup();
        if drums.len() > DRUMS_LEVELLED {
            break;
        }
        end += 1;
    }
    first..end.max(first + 1)
}

/// Draws the beams of a voice at their places.
pub fn draw(canvas: &mut Canvas<'_>, voice: &VoiceShape, xs: &[f64], beams: &[PlacedBeam]) {
    let engraver = canvas.engraver;
    let half = engraver.fonts.music.defaults().stem_thickness / 2.0;
    for (beam, placed) in voice.beams.iter().zip(beams) {
        let stems: Vec<f64> = beam
            .chords
            .iter()
            .filter_map(|i| Some(xs.get(*i)? + voice.chords.get(*i)?.as_ref()?.stem_x + half))
            .collect();
        for mark in marks(engraver, beam, placed, &stems, voice.stems) {
            canvas.push(mark);
        }
    }
}

/// The lines of a placed beam.
fn marks(
    engraver: &Engraver<'_>,
    beam: &Beam,
    placed: &PlacedBeam,
    xs: &[f64],
    stems: Stems,
) -> Vec<Mark> {
    let defaults = engraver.fonts.music.defaults();
    let pitch = defaults.beam_thickness + defaults.beam_spacing;
    let inwards = -stems.sign();
    let thick = inwards * defaults.beam_thickness;
    let mut marks = Vec::new();
    for line in &beam.lines {
        let Some((x0, x1)) = line_ends(engraver, line, xs) else { continue };
        let offset = inwards * line.level as f64 * pitch;
        let (y0, y1) = (placed.y_at(x0) + offset, placed.y_at(x1) + offset);
        let path = outline::polygon(&[
            Point::new(x0, y0),
            Point::new(x1, y1),
            Point::new(x1, y1 + thick),
            Point::new(x0, y0 + thick),
        ]);
        marks.push(Mark::new(Kind::Beam, Shape::Path(path)));
    }
    marks
}

/// The x of the ends of a line of a beam, whose stems have their middles at `xs`.
fn line_ends(engraver: &Engraver<'_>, line: &BeamLine, xs: &[f64]) -> Option<(f64, f64)> {
    let half = engraver.fonts.music.defaults().stem_thickness / 2.0;
    let (from, to) = (xs.get(line.from)?, xs.get(line.to)?);
    let Some(side) = line.beamlet else { return Some((from - half, to + half)) };
    let next = match side {
        Side::Left => line.from.checked_sub(1).and_then(|i| xs.get(i)),
        Side::Right => xs.get(line.from + 1),
    };
    let most = engraver.style.beamlet;
    let length = next.map_or(most, |x| ((x - from).abs() * BEAMLET_SHARE).min(most));
    Some(match side {
        Side::Left => (from - length, from + half),
        Side::Right => (from - half, from + length),
    })
}
