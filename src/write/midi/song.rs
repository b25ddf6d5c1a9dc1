//! A file in the making, block after block.

use super::conductor::Conductor;
use super::notes::{Keys, NoteMaker, tidy};
use super::pulses::{Pulse, Pulses};
use super::survey::{StrokeCount, Survey};
use super::tempo_map::TempoMap;
use super::track::PlayerTrack;
use crate::perform::{StrokeKind, Timeline};
use crate::score::{Header, MarkKind, PlacedBlock, PlayerPart, Time};
use crate::write::error::WriteError;
use midly::{Format, Smf, Timing};
use std::collections::HashMap;

/// What a track is called whose player the text does not name.
const UNNAMED: &str = "Drums";
/// Most silent bars before the first, where that is nearly no time at all.
const MOST_SILENT: f64 = 1000.0;

/// All tracks, up to some pulse.
#[derive(Debug)]
pub struct Song {
    pulses: Pulses,
    /// Seconds that are needed before the first beat.
    ahead: f64,
    conductor: Conductor,
    tempo: TempoMap,
    players: Vec<PlayerTrack>,
    count: StrokeCount,
    /// Where the next block begins.
    end: Pulse,
}

impl Song {
    /// Begins a file.
    pub fn new(header: &Header, survey: &Survey) -> Self {
        Self {
            pulses: survey.pulses,
            ahead: survey.ahead,
            conductor: Conductor::new(header),
            tempo: TempoMap::new(survey.pulses),
            players: Vec::new(),
            count: StrokeCount::default(),
            end: 0,
        }
    }

    /// Plays another block.
    pub fn add(&mut self, block: &PlacedBlock) -> Result<(), WriteError> {
        for (number, part) in block.parts().enumerate() {
            let timeline = Timeline::of_player(block, part);
            if number == 0 {
                self.wait(block, &timeline)?;
                self.lead(block, &timeline)?;
            }
            self.play(part, &timeline)?;
            if number == block.others.len() {
                self.end += self.pulses.at(timeline.length);
            }
        }
        Ok(())
    }

    /// Lets silent bars go by before the first block, where it begins with grace notes.
    fn wait(&mut self, block: &PlacedBlock, timeline: &Timeline) -> Result<(), WriteError> {
        let (Some(bar), Some(step)) = (block.part.bars.first(), timeline.tempo.first()) else {
            return Ok(());
        };
        if self.ahead > 0.0 {
            let seconds = bar.length.as_f64() * step.whole;
            let bars = (self.ahead / seconds.max(f64::EPSILON)).ceil().min(MOST_SILENT);
            self.tempo.add(self.end, step.whole)?;
            self.conductor.bar(self.end, bar);
            self.end += self.pulses.at(bar.length * bars as i64);
        }
        self.ahead = 0.0;
        Ok(())
    }

    /// What holds for all players of a block.
    fn lead(&mut self, block: &PlacedBlock, timeline: &Timeline) -> Result<(), WriteError> {
        self.conductor.begin(self.end, block);
        for step in &timeline.tempo {
            self.tempo.add(self.end + self.pulses.at(step.at), step.whole)?;
        }
        let sounding = Sounding::of(timeline);
        for (played, at) in timeline.bars.iter().zip(&timeline.bar_times) {
            let Some(bar) = block.part.bars.get(played.bar) else { continue };
            self.conductor.bar(self.end + self.pulses.at(*at), bar);
            for mark in &bar.marks {
                let at = self.pulses.at(sounding.at(*at + mark.at));
                self.conductor.mark(self.end + at, &mark.kind);
            }
        }
        Ok(())
    }

    /// What one player of a block plays.
    fn play(&mut self, part: &PlayerPart, timeline: &Timeline) -> Result<(), WriteError> {
        let (start, pulses) = (self.end, self.pulses);
        let name = part.player.as_ref().map(|player| player.name.as_str());
        let known = self.players.iter().position(|own| own.player.as_deref() == name);
        let index = known.unwrap_or_else(|| {
            let player = name.map(str::to_owned);
            self.players.push(PlayerTrack { player, ..PlayerTrack::default() });
            self.players.len() - 1
        });
        let Some(track) = self.players.get_mut(index) else { return Ok(()) };
        add_words(part, timeline, (start, pulses), track);
        let maker = NoteMaker { kit: &part.kit, timeline, pulses, tempo: &self.tempo, start };
        maker.add_to(&mut track.notes, &mut self.count)
    }

    /// The bytes of the file.
    pub fn bytes(mut self) -> Result<Vec<u8>, WriteError> {
        self.players.iter_mut().for_each(|track| tidy(&mut track.notes));
        let keys = Keys::of(self.players.iter().flat_map(|track| &track.notes));
        let timing = Timing::Metrical(midly::num::u15::new(self.pulses.in_quarter()));
        let mut file = Smf::new(midly::Header::new(Format::Parallel, timing));
        file.tracks.push(self.conductor.events(&self.tempo).track(self.end));
        for player in &self.players {
            file.tracks.push(player.events(UNNAMED, &keys).track(self.end));
        }
        let mut bytes = Vec::new();
        file.write(&mut bytes).map_err(|error| WriteError(error.to_string()))?;
        Ok(bytes)
    }
}

/// Where musical times of a timeline at which something is struck lie as they sound.
struct Sounding(HashMap<Time, Time>);

impl Sounding {
    fn of(timeline: &Timeline) -> Self {
        let main = timeline.strokes.iter().filter(|stroke| stroke.kind != StrokeKind::Grace);
        Self(main.map(|stroke| (stroke.onset, stroke.sounds.0)).collect())
    }

    /// Where a time lies; where nothing is struck, as it is written.
    fn at(&self, time: Time) -> Time {
        self.0.get(&time).copied().unwrap_or(time)
    }
}

/// Adds the words over and under the staff of one player, each where its note sounds.
fn add_words(
    part: &PlayerPart,
    timeline: &Timeline,
    (start, pulses): (Pulse, Pulses),
    track: &mut PlayerTrack,
) {
    let sounding = Sounding::of(timeline);
    for (played, bar_time) in timeline.bars.iter().zip(&timeline.bar_times) {
        let Some(bar) = part.bars.get(played.bar) else { continue };
        let over = bar.marks.iter().filter_map(|mark| {
            let MarkKind::Words(words) = &mark.kind else { return None };
            Some((mark.at, words))
        });
        let under = bar.words.iter().map(|words| (words.at, &words.text));
        for (at, words) in over.chain(under) {
            let at = sounding.at(*bar_time + at);
            track.words.push((start + pulses.at(at), words.clone()));
        }
    }
}
