//! Rests, and where they stand in two voices.

use super::canvas::Canvas;
use super::placed_bar::PlacedBar;
use crate::drawing::{Kind, Mark, Shape};
use crate::engrave::engraver::Engraver;
use crate::engrave::measure::chord::ChordShape;
use crate::engrave::measure::glyphs::rest_glyph;
use crate::engrave::measure::voice::VoiceShape;
use crate::engrave::notate::event::{EventKind, WrittenEvent};
use crate::engrave::space::bar::SpacedBar;
use crate::engrave::staff::{Stems, staff_edges, y_of};
use crate::font::Glyph;
use crate::score::Time;
use crate::score::settings::Staff;
use kurbo::Rect;

/// How far a rest stands from the middle of the staff where there are two voices (Gould, *Behind
/// Bars*, "Rests in double-stemmed writing", from memory).
const VOICE_REST: f64 = 2.0;
/// The same for the rest of a bar, which hangs from the line over its middle in one voice: from the
/// top line, and from the second line from below (common practice, no source).
const BAR_REST: (f64, f64) = (-1.0, 2.0);
/// Beside the middle of a bar what counts as being in the way of its rest, and the reach of grace
/// notes to the left of their note (no source).
const BAR_REST_REACH: f64 = 1.2;
const GRACE_REACH: f64 = 3.0;
/// Half the height of a head, and of one with brackets or beside grace notes (no source).
const HEAD_HALF: (f64, f64) = (0.5, 1.1);
/// From the middle of a rest to its dot, which stands in the space over it.
const REST_DOT_LIFT: f64 = 0.5;
/// Steps of whole spaces a rest may be moved by to get clear (no source).
const MOST_STEPS: usize = 8;
/// Least space between a rest and what it keeps clear of (no source).
const REST_GAP: f64 = 0.35;

/// What a rest has to keep clear of.
#[derive(Clone, Copy, Debug, Default)]
struct RestRoom {
    /// The side its voice keeps to, where there are two.
    voice: Option<Stems>,
    /// y of the other voice's nearest ink at the same moment.
    other_voice: Option<f64>,
}

/// The y of each event's rest; without meaning for chords.
pub fn heights(
    engraver: &Engraver<'_>,
    bar: &PlacedBar<'_>,
    voice: &VoiceShape,
    staff: Staff,
) -> Vec<f64> {
    let two_voices = bar.bar.has_two_voices();
    let height = |event: &WrittenEvent| {
        // Where the other voice has nothing in the rest's time, there is nothing to make way for.
        let shared = bar.spaced.voices.iter().any(|other| {
            other.stems != voice.stems && other.rhythm.events.iter().any(|e| e.overlaps(event))
        });
        let one_rest = rests_as_well(&bar.spaced, voice, event);
        let room = RestRoom {
            voice: (two_voices && shared && !one_rest).then_some(voice.stems),
            other_voice: match event.kind {
                EventKind::BarRest => edge_in_the_middle(bar, voice.stems),
                EventKind::Rest | EventKind::Chord { .. } => {
                    other_edge(engraver, &bar.spaced, voice.stems, event.at)
                }
            },
        };
        rest_y(engraver, event, &room, staff)
    };
    voice.rhythm.events.iter().map(height).collect()
}

/// The y of a rest's origin: the middle of the staff, or where there are two voices two spaces up
/// or down (Gould, *Behind Bars*, "Rests in double-stemmed writing", from memory) and further by
/// whole spaces where the other voice is in its way.
fn rest_y(engraver: &Engraver<'_>, event: &WrittenEvent, room: &RestRoom, staff: Staff) -> f64 {
    let bounds = engraver.fonts.music.bounds(rest_glyph(event.value));
    let hangs = event.value.halvings <= 0 && staff == Staff::FiveLines;
    let y = if hangs { -1.0 } else { 0.0 };
    let Some(stems) = room.voice else { return y };
    let y = match (event.kind, stems) {
        (EventKind::Chord { .. }, _) => return y,
        (EventKind::Rest, _) => y + stems.sign() * VOICE_REST,
        (EventKind::BarRest, Stems::Up) => y + BAR_REST.0,
        (EventKind::BarRest, Stems::Down) => y + BAR_REST.1,
    };
    clear(y, bounds, room.other_voice, stems.sign())
}

/// The edge of what the other voice has near the middle of a bar, which a bar rest meets first.
fn edge_in_the_middle(bar: &PlacedBar<'_>, stems: Stems) -> Option<f64> {
    let other = bar.spaced.voices.iter().find(|voice| voice.stems != stems)?;
    let near = |(event, chord): (&WrittenEvent, &Option<ChordShape>)| {
        let chord = chord.as_ref()?;
        let x = bar.x(event.at);
        let clear = x - chord.left - GRACE_REACH > bar.middle() + BAR_REST_REACH
            || x + chord.right < bar.middle() - BAR_REST_REACH;
        (!clear).then(|| chord_edge(chord, stems))
    };
    let edges = other.rhythm.events.iter().zip(&other.chords).filter_map(near);
    match stems {
        Stems::Up => edges.reduce(f64::min),
        Stems::Down => edges.reduce(f64::max),
    }
}

/// The edge of what the other voice has at a moment, which a rest of this voice meets first.
fn other_edge(engraver: &Engraver<'_>, spaced: &SpacedBar, stems: Stems, at: Time) -> Option<f64> {
    let other = spaced.voices.iter().find(|voice| voice.stems != stems)?;
    let index = other.rhythm.events.iter().position(|event| event.at == at)?;
    let event = other.rhythm.events.get(index)?;
    let Some(chord) = other.chord(index) else {
        // Of two rests at one moment the lower voice's gives way.
        let bounds = engraver.fonts.music.bounds(rest_glyph(event.value));
        return (stems == Stems::Down).then_some(bounds.y1 - VOICE_REST);
    };
    Some(chord_edge(chord, stems))
}

/// The edge of a chord's heads on a side.
fn chord_edge(chord: &ChordShape, side: Stems) -> f64 {
    let ornament = !chord.grace.is_empty() || chord.has_ghost();
    let half = if ornament { HEAD_HALF.1 } else { HEAD_HALF.0 };
    match side {
        Stems::Up => y_of(chord.highest()) - half,
        Stems::Down => y_of(chord.lowest()) + half,
    }
}

/// Whether the other voice has the same rest at the same moment: one rest then stands for both.
fn rests_as_well(spaced: &SpacedBar, voice: &VoiceShape, event: &WrittenEvent) -> bool {
    let other = spaced.voices.iter().find(|other| other.stems != voice.stems);
    other.is_some_and(|other| {
        other.rhythm.events.iter().any(|e| {
            e.kind == EventKind::Rest
                && event.kind == EventKind::Rest
                && (e.at, e.value, e.length) == (event.at, event.value, event.length)
        })
    })
}

/// Whether a rest of the lower voice is shown by the upper voice's.
pub fn rest_is_shared(spaced: &SpacedBar, voice: &VoiceShape, event: &WrittenEvent) -> bool {
    voice.stems == Stems::Down && rests_as_well(spaced, voice, event)
}

/// Draws a rest with its centre at `x` and its origin at `y`; one that hangs from a line or lies on one has a
/// ledger line where there is none (Gould, *Behind Bars*, "Rests in double-stemmed writing", from memory).
pub fn draw(canvas: &mut Canvas<'_>, event: &WrittenEvent, (x, y): (f64, f64), staff: Staff) {
    let engraver = canvas.engraver;
    let glyph = rest_glyph(event.value);
    let bounds = engraver.fonts.music.bounds(glyph);
    let origin = x - (bounds.x0 + bounds.x1) / 2.0;
    canvas.push(engraver.glyph(Kind::Rest, glyph, origin, y));
    if needs_line(event, y, staff) {
        let defaults = engraver.fonts.music.defaults();
        let half = defaults.leger_line_thickness / 2.0;
        let reach = bounds.width() / 2.0 + defaults.leger_line_extension;
        let rect = Rect::new(x - reach, y - half, x + reach, y + half);
        canvas.push(Mark::new(Kind::Rest, Shape::Box(rect)));
    }
    if event.value.dots > 0 {
        let dot_x = x + bounds.width() / 2.0 + engraver.style.dot_gap;
        canvas.push(engraver.glyph(Kind::Dot, Glyph::AUGMENTATION_DOT, dot_x, y - REST_DOT_LIFT));
    }
}

/// Whether a rest that hangs from a line or lies on one has none in the staff.
fn needs_line(event: &WrittenEvent, y: f64, staff: Staff) -> bool {
    match staff {
        Staff::FiveLines => event.kind == EventKind::BarRest && y.abs() > staff_edges(staff).1,
        Staff::OneLine => false,
        Staff::NoLine => matches!(event.value.halvings, 0 | 1),
    }
}

/// `y` moved in a direction by whole spaces until a box at it is past an edge.
fn clear(mut y: f64, bounds: Rect, edge: Option<f64>, direction: f64) -> f64 {
    let Some(edge) = edge else { return y };
    for _ in 0..MOST_STEPS {
        let near = y + if direction < 0.0 { bounds.y1 } else { bounds.y0 };
        if (near - edge) * direction >= REST_GAP {
            break;
        }
        y += direction;
    }
    y
}
