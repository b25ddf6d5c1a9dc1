//! The voices of a bar, written and shaped, and how two voices make room for each other.

use super::chord::ChordShape;
use super::{grace, shape};
use crate::engrave::engraver::Engraver;
use crate::engrave::notate::beams;
use crate::engrave::notate::beams::Beam;
use crate::engrave::notate::event::{EventKind, WrittenEvent, WrittenRhythm};
use crate::engrave::notate::rhythm;
use crate::engrave::staff::Stems;
use crate::score::{Bar, PlayerPart, Time, Voice};

/// Steps at which heads of two voices do not touch (a head is two steps high).
const HEAD_ROOM: i32 = 2;
/// Steps at which the brackets of two ghosts do not touch (a bracket is four steps high).
const GHOST_ROOM: i32 = 4;
/// Between two voices' heads where one is in brackets (no source).
const BESIDE_BRACKET: f64 = 0.1;

/// One voice of a bar, written and shaped.
#[derive(Clone, Debug)]
pub struct VoiceShape {
    /// Its notes, rests and tuplets.
    pub rhythm: WrittenRhythm,
    /// A shape for each event that is a chord.
    pub chords: Vec<Option<ChordShape>>,
    /// Its beams.
    pub beams: Vec<Beam>,
    /// Which way its stems point.
    pub stems: Stems,
}

impl VoiceShape {
    /// Whether grace notes stand before what is struck at a moment.
    pub fn has_grace(&self, at: Time) -> bool {
        self.chord_at(at).is_some_and(|chord| !chord.grace.is_empty())
    }

    /// An event's chord.
    pub fn chord(&self, event: usize) -> Option<&ChordShape> {
        self.chords.get(event).and_then(Option::as_ref)
    }

    /// The chord that begins at a moment.
    pub fn chord_at(&self, at: Time) -> Option<&ChordShape> {
        self.chord(self.rhythm.events.iter().position(|event| event.at == at)?)
    }

    /// Whether an event's chord hangs on a beam.
    pub fn is_beamed(&self, event: usize) -> bool {
        self.beams.iter().any(|beam| beam.chords.contains(&event))
    }
}

/// Both voices of a bar, the upper one first.
pub fn voices(engraver: &Engraver<'_>, part: &PlayerPart, bar: &Bar) -> [VoiceShape; 2] {
    let mut upper = shape_voice(engraver, part, bar, Stems::Up);
    let mut lower = shape_voice(engraver, part, bar, Stems::Down);
    make_room(engraver, &mut upper, &mut lower);
    [upper, lower]
}

fn shape_voice(engraver: &Engraver<'_>, part: &PlayerPart, bar: &Bar, stems: Stems) -> VoiceShape {
    let (voice, rhythm) = match stems {
        Stems::Up => (&bar.upper, rhythm::write(bar, &bar.upper, &bar.lower)),
        Stems::Down if !bar.has_two_voices() => (&bar.lower, WrittenRhythm::default()),
        Stems::Down => (&bar.lower, rhythm::write(bar, &bar.lower, &bar.upper)),
    };
    let beams = beams::beams(&rhythm.events, &beams::spans(bar, &rhythm.tuplets));
    let mut chords = chords(engraver, part, voice, &rhythm, stems);
    if bar.has_two_voices() {
        chords.iter_mut().flatten().filter(|chord| chord.slash).for_each(ChordShape::raise_slash);
    }
    VoiceShape { rhythm, chords, beams, stems }
}

fn chords(
    engraver: &Engraver<'_>,
    part: &PlayerPart,
    voice: &Voice,
    rhythm: &WrittenRhythm,
    stems: Stems,
) -> Vec<Option<ChordShape>> {
    let chord = |event: &WrittenEvent| match event.kind {
        EventKind::Chord { hit, continued, tied } => voice.hits.get(hit).map(|hit| {
            let mut chord = shape::shape(engraver, part, hit, event.value, stems, continued);
            chord.rings &= !tied;
            chord
        }),
        EventKind::Rest | EventKind::BarRest => None,
    };
    rhythm.events.iter().map(chord).collect()
}

/// Where both voices have heads a step apart or crossing at one moment, the lower voice stands to
/// the right (Gould, *Behind Bars*, "Double-stemmed writing", from memory).
fn make_room(engraver: &Engraver<'_>, upper: &mut VoiceShape, lower: &mut VoiceShape) {
    let thickness = engraver.fonts.music.defaults().stem_thickness;
    for (event, shape) in upper.rhythm.events.iter().zip(&upper.chords) {
        let Some(shape) = shape else { continue };
        let other = lower.rhythm.events.iter().position(|e| e.at == event.at);
        let Some(other) = other.and_then(|i| lower.chords.get_mut(i)).and_then(Option::as_mut)
        else {
            continue;
        };
        let apart = shape.lowest() - other.highest();
        let ghosts = shape.has_ghost() || other.has_ghost();
        let same_heads = apart == 0
            && !ghosts
            && shape.heads.first().map(|h| h.glyph) == other.heads.last().map(|h| h.glyph);
        let both = shape.has_ghost() && other.has_ghost();
        let room = if both { GHOST_ROOM } else { HEAD_ROOM };
        if apart < room && !same_heads {
            let apart = if ghosts { BESIDE_BRACKET } else { -thickness };
            other.shift(shape.right + other.left.max(0.0) + apart);
        }
        if !shape.grace.is_empty() && !other.grace.is_empty() {
            // The lower voice's grace notes stand before the upper's.
            let taken = shape.left + grace::width(engraver, shape);
            other.grace_room = (taken - other.left).max(0.0);
        }
    }
}
