//! Tracks, and their events in the order of the format.

use super::notes::{KeyNote, Keys};
use super::pulses::Pulse;
use midly::num::{u4, u7, u28};
use midly::{MetaMessage, MidiMessage, TrackEvent, TrackEventKind};

/// Channel 10 of General MIDI, which has the drums.
const CHANNEL: u8 = 9;
/// The velocity of a note's end, which drums do not heed. Common practice, no source.
const RELEASE: u8 = 64;
/// How hard a cymbal is held that a hand chokes: as electronic drums send it before and after its note ends.
/// Common practice, no source.
const HELD: u8 = 127;

/// What one player plays.
#[derive(Debug, Default)]
pub struct PlayerTrack {
    /// The player's name; nothing for those whom the text does not name.
    pub player: Option<String>,
    /// The player's words.
    pub words: Vec<(Pulse, String)>,
    /// What is struck.
    pub notes: Vec<KeyNote>,
}

/// The order of events at one moment.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Turn {
    Meta,
    Held,
    Off,
    LetGo,
    On,
}

/// Events of a track with the pulse of each, before they are in order.
#[derive(Default)]
pub struct Events<'a>(Vec<(Pulse, Turn, TrackEventKind<'a>)>);

impl<'a> Events<'a> {
    /// Adds what is no music.
    pub fn meta(&mut self, at: Pulse, message: MetaMessage<'a>) {
        self.0.push((at, Turn::Meta, TrackEventKind::Meta(message)));
    }

    fn midi(&mut self, at: Pulse, turn: Turn, message: MidiMessage) {
        let channel = u4::new(CHANNEL);
        self.0.push((at, turn, TrackEventKind::Midi { channel, message }));
    }

    /// Adds a note that ends at a pulse.
    pub fn note(&mut self, note: &KeyNote, end: Pulse) {
        let key = u7::new(note.key);
        let pressure = |vel| MidiMessage::Aftertouch { key, vel: u7::new(vel) };
        self.midi(note.on, Turn::On, MidiMessage::NoteOn { key, vel: u7::new(note.velocity) });
        self.midi(end, Turn::Off, MidiMessage::NoteOff { key, vel: u7::new(RELEASE) });
        if note.choked {
            self.midi(end, Turn::Held, pressure(HELD));
            self.midi(end, Turn::LetGo, pressure(0));
        }
    }

    /// The track, which ends no earlier than a pulse.
    pub fn track(mut self, end: Pulse) -> Vec<TrackEvent<'a>> {
        self.0.sort_by_key(|(at, turn, _)| (*at, *turn));
        let last = self.0.last().map_or(0, |(at, _, _)| *at);
        self.meta(end.max(last), MetaMessage::EndOfTrack);
        let mut track = Vec::with_capacity(self.0.len());
        let mut now = 0;
        for (at, _, kind) in self.0 {
            let mut delta = at - now;
            // What one delta time can't hold is bridged by empty words.
            while delta > u28::max_value().as_int() {
                let kind = TrackEventKind::Meta(MetaMessage::Text(b""));
                track.push(TrackEvent { delta: u28::max_value(), kind });
                delta -= u28::max_value().as_int();
            }
            track.push(TrackEvent { delta: u28::new(delta), kind });
            now = at;
        }
        track
    }
}

impl PlayerTrack {
    /// Its events; it is called by the player's name or by another.
    pub fn events<'a>(&'a self, unnamed: &'a str, keys: &Keys) -> Events<'a> {
        let mut events = Events::default();
        let name = self.player.as_deref().unwrap_or(unnamed);
        events.meta(0, MetaMessage::TrackName(name.as_bytes()));
        for (at, words) in &self.words {
            events.meta(*at, MetaMessage::Text(words.as_bytes()));
        }
        for note in &self.notes {
            events.note(note, keys.end(note));
        }
        events
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_silence_is_bridged() {
        let mut events = Events::default();
        let note = KeyNote { on: 600_000_000, key: 38, velocity: 1, off: 0, choked: false };
        events.note(&note, 600_000_010);
        let track = events.track(0);
        let all: u32 = track.iter().map(|event| event.delta.as_int()).sum();
        assert_eq!((track.len(), all), (5, 600_000_010));
    }

    #[test]
    fn a_choked_note_is_held_let_go_and_struck_again() {
        let mut events = Events::default();
        let note = KeyNote { on: 0, key: 49, velocity: 1, off: 9, choked: true };
        events.note(&KeyNote { on: 9, ..note }, 18);
        events.note(&note, 9);
        let at_nine: Vec<String> = events
            .track(0)
            .iter()
            .skip(1)
            .take(4)
            .map(|event| match event.kind {
                TrackEventKind::Midi { message, .. } => format!("{message:?}"),
                other => format!("{other:?}"),
            })
            .collect();
        let begins = ["Aftertouch", "NoteOff", "Aftertouch", "NoteOn"];
        for (event, begins) in at_nine.iter().zip(begins) {
            assert!(event.starts_with(begins), "{at_nine:?}");
        }
    }
}
