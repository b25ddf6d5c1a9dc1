//! The first track: what holds for all players.

use super::pulses::Pulse;
use super::signature::Signature;
use super::tempo_map::TempoMap;
use super::track::Events;
use crate::score::mark::{FormMark, TempoMark};
use crate::score::{Bar, Header, MarkKind, PlacedBlock};
use midly::MetaMessage;
use midly::num::u24;

/// What holds for all players, but the tempo.
#[derive(Debug, Default)]
pub struct Conductor {
    title: Option<String>,
    copyright: Option<String>,
    signatures: Vec<(Pulse, Signature)>,
    /// The signature in force; nothing where the bar before has a length that none has.
    signature: Option<Signature>,
    markers: Vec<(Pulse, String)>,
    words: Vec<(Pulse, String)>,
}

impl Conductor {
    /// That of a text with a header.
    pub fn new(header: &Header) -> Self {
        let (title, copyright) = (header.title.clone(), header.copyright.clone());
        Self { title, copyright, ..Self::default() }
    }

    /// Begins a block.
    pub fn begin(&mut self, at: Pulse, block: &PlacedBlock) {
        self.markers.push((at, label(block)));
        let words = block.settings.tempo.as_ref().and_then(|tempo| tempo.words.clone());
        self.words.extend(words.map(|words| (at, words)));
    }

    /// Begins a bar.
    pub fn bar(&mut self, at: Pulse, bar: &Bar) {
        let own = Signature::of(bar);
        if own.is_none() || own != self.signature {
            self.signatures.push((at, own.unwrap_or_else(Signature::quarters)));
        }
        self.signature = own;
    }

    /// Takes what a mark says to all.
    pub fn mark(&mut self, at: Pulse, mark: &MarkKind) {
        match mark {
            MarkKind::Form(FormMark::Section(letter)) => self.markers.push((at, letter.clone())),
            MarkKind::Tempo(TempoMark::New(tempo)) => {
                self.words.extend(tempo.words.clone().map(|own| (at, own)))
            }
            MarkKind::Tempo(TempoMark::Gradual(change)) => {
                self.words.push((at, change.words().to_owned()))
            }
            MarkKind::Form(
                FormMark::Ending(_) | FormMark::Segno | FormMark::Coda | FormMark::Direction(_),
            )
            | MarkKind::Tempo(TempoMark::ATempo | TempoMark::Modulation { .. })
            | MarkKind::Feel(_)
            | MarkKind::Note(_)
            | MarkKind::Words(_)
            | MarkKind::Number(_)
            | MarkKind::Layout(_)
            | MarkKind::Phrase(_) => {}
        }
    }

    /// Its events, with the tempo.
    pub fn events<'a>(&'a self, tempo: &TempoMap) -> Events<'a> {
        let mut events = Events::default();
        // The format wants them first.
        let copyright = self.copyright.iter().map(|own| MetaMessage::Copyright(own.as_bytes()));
        copyright.for_each(|message| events.meta(0, message));
        let title = self.title.iter().map(|own| MetaMessage::TrackName(own.as_bytes()));
        title.for_each(|message| events.meta(0, message));
        for (at, signature) in &self.signatures {
            events.meta(*at, signature.message());
        }
        for event in tempo.events() {
            events.meta(event.at, MetaMessage::Tempo(u24::new(event.microseconds)));
        }
        for (at, marker) in &self.markers {
            events.meta(*at, MetaMessage::Marker(marker.as_bytes()));
        }
        for (at, words) in &self.words {
            events.meta(*at, MetaMessage::Text(words.as_bytes()));
        }
        events
    }
}

/// What a block's marker says: its number and its title, else its name, else its word.
fn label(block: &PlacedBlock) -> String {
    let parts: Vec<String> =
        block.printed_number().into_iter().chain(block.title.clone()).collect();
    match parts.is_empty() {
        true => block.name.clone().unwrap_or_else(|| block.word.as_str().to_owned()),
        false => parts.join(" "),
    }
}
