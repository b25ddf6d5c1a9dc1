//! Strokes as notes: their velocity, and when they begin and end.

use super::pulses::{Pulse, Pulses};
use super::survey::StrokeCount;
use super::tempo_map::TempoMap;
use crate::perform::{Stroke, StrokeKind, Timeline};
use crate::score::{Kit, Time};
use crate::write::error::WriteError;

/// The loudest velocity there is; the softest that sounds is 1.
const LOUDEST: f64 = 127.0;
/// What part of a whole note a note is at least, unless the next one on its key comes before. Common practice,
/// no source.
const SHORTEST: i64 = 64;
/// Strokes of a buzz in a second. Common practice, no source.
const BUZZ_RATE: f64 = 25.0;
/// What its strokes after the first have of its loudness. Common practice, no source.
const BUZZ_SHARE: f64 = 0.5;

/// A note on one key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct KeyNote {
    /// When it begins.
    pub on: Pulse,
    /// Its key, 27 to 87.
    pub key: u8,
    /// How loud, 1 to 127.
    pub velocity: u8,
    /// When it ends, later than it begins.
    pub off: Pulse,
    /// A hand ends its sound.
    pub choked: bool,
}

/// The velocity of a loudness: 127 times it, at least 1. So *mp* is 64 and *mf* 76: the MIDI 1.0 Detailed
/// Specification (from memory) has 64 between the two, *ppp* near 1 and *fff* near 127.
pub fn velocity(loudness: f64) -> u8 {
    (loudness * LOUDEST).round().clamp(1.0, LOUDEST) as u8
}

/// Makes notes of what one player plays of a block.
pub struct NoteMaker<'a> {
    pub kit: &'a Kit,
    pub timeline: &'a Timeline,
    pub pulses: Pulses,
    /// The tempo up to the end of the block.
    pub tempo: &'a TempoMap,
    /// Where the block begins.
    pub start: Pulse,
}

impl NoteMaker<'_> {
    /// Adds the notes of all strokes.
    pub fn add_to(
        &self,
        notes: &mut Vec<KeyNote>,
        count: &mut StrokeCount,
    ) -> Result<(), WriteError> {
        for stroke in &self.timeline.strokes {
            let Some(instrument) = self.kit.get(stroke.instrument) else { continue };
            let note = self.note(stroke, instrument.sound);
            count.add(1)?;
            notes.push(note);
            if stroke.kind == StrokeKind::Buzz {
                self.press(stroke, note, notes, count)?;
            }
        }
        Ok(())
    }

    fn note(&self, stroke: &Stroke, key: u8) -> KeyNote {
        let at = |time| self.start + self.pulses.at(time);
        let main = at(stroke.sounds.0);
        let on = match stroke.kind {
            StrokeKind::Grace => self.tempo.before(main, self.ahead(stroke)),
            StrokeKind::Main | StrokeKind::Roll | StrokeKind::Buzz => main,
        };
        let off = at(stroke.sounds.1).max(on + self.pulses.at(Time::new(1, SHORTEST)));
        let velocity = velocity(stroke.loudness.value());
        KeyNote { on, key, velocity, off, choked: stroke.choked }
    }

    /// How long before its note a grace note sounds, in seconds.
    fn ahead(&self, stroke: &Stroke) -> f64 {
        let note = self.timeline.notes.get(stroke.note);
        note.map_or(0.0, |note| note.seconds - stroke.seconds)
    }

    /// Adds the strokes of a buzz after its first, evenly up to its end.
    fn press(
        &self,
        stroke: &Stroke,
        first: KeyNote,
        notes: &mut Vec<KeyNote>,
        count: &mut StrokeCount,
    ) -> Result<(), WriteError> {
        let strokes = ((stroke.end_seconds - stroke.seconds) * BUZZ_RATE).round();
        count.add(strokes.max(0.0) as usize)?;
        let strokes = strokes.max(0.0) as u64;
        let length = u64::from(first.off - first.on);
        let velocity = velocity(stroke.loudness.value() * BUZZ_SHARE);
        for number in 1..strokes {
            // No more than the length of the note, which is one of pulses.
            let into = (length * number / strokes) as Pulse;
            notes.push(KeyNote { on: first.on + into, velocity, ..first });
        }
        Ok(())
    }
}

/// The notes of all tracks by key, each once for a moment: when it begins and when it ends.
#[derive(Debug, Default)]
pub struct Keys(Vec<Vec<(Pulse, Pulse)>>);

impl Keys {
    /// Takes the notes of all tracks.
    pub fn of<'a>(notes: impl Iterator<Item = &'a KeyNote>) -> Self {
        let mut keys: Vec<Vec<(Pulse, Pulse)>> = vec![Vec::new(); 128];
        for note in notes {
            if let Some(own) = keys.get_mut(usize::from(note.key)) {
                own.push((note.on, note.off));
            }
        }
        for own in &mut keys {
            own.sort_unstable();
            own.dedup_by(|later, kept| {
                let same = later.0 == kept.0;
                if same {
                    kept.1 = kept.1.max(later.1);
                }
                same
            });
        }
        Self(keys)
    }

    /// When a note ends: with the longest of those that begin with it on its key, but before the next on
    /// the key begins, on whatever track, since all play on one channel.
    pub fn end(&self, note: &KeyNote) -> Pulse {
        let own = self.0.get(usize::from(note.key)).map_or(&[][..], Vec::as_slice);
        let at = own.partition_point(|(on, _)| *on < note.on);
        let off = own.get(at).map_or(note.off, |(_, off)| *off);
        own.get(at + 1).map_or(off, |(next, _)| off.min(*next))
    }
}

/// Sorts the notes of a track and keeps the loudest of those that begin together on one key.
pub fn tidy(notes: &mut Vec<KeyNote>) {
    notes.sort_unstable_by_key(|note| (note.on, note.key, u8::MAX - note.velocity, note.off));
    notes.dedup_by(|later, kept| {
        let same = (later.on, later.key) == (kept.on, kept.key);
        kept.choked |= same && later.choked;
        same
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::perform::Loudness;
    use crate::score::dynamic::Level;

    #[test]
    fn velocities_of_the_dynamics() {
        let all = [Level::Niente, Level::Pppp, Level::Pp, Level::P, Level::Mp, Level::Mf]
            .into_iter()
            .chain([Level::F, Level::Ff, Level::Fff, Level::Ffff]);
        let found: Vec<u8> = all.map(|level| velocity(Loudness::of(level).value())).collect();
        assert_eq!(found, [1, 13, 38, 51, 64, 76, 89, 102, 114, 127]);
    }

    fn note(on: Pulse, off: Pulse, velocity: u8) -> KeyNote {
        KeyNote { on, key: 38, velocity, off, choked: false }
    }

    #[test]
    fn a_note_ends_before_the_next_on_its_key() {
        let notes = [note(0, 100, 60), note(50, 60, 60), note(50, 90, 60), note(200, 210, 60)];
        let keys = Keys::of(notes.iter());
        let ends: Vec<Pulse> = notes.iter().map(|note| keys.end(note)).collect();
        assert_eq!(ends, [50, 90, 90, 210]);
    }

    #[test]
    fn the_loudest_of_notes_on_one_key_stays() {
        let mut notes = vec![note(5, 9, 10), note(5, 8, 90), note(0, 3, 20)];
        notes.first_mut().expect("three").choked = true;
        tidy(&mut notes);
        let kept: Vec<_> = notes.iter().map(|note| (note.on, note.velocity, note.choked)).collect();
        assert_eq!(kept, [(0, 20, false), (5, 90, true)]);
    }
}
