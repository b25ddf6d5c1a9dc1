//! Rhythm to syllables.

use super::beat::Beat;
use super::counter::Counter;
use super::read::CountPlace;
use crate::interpret::divisions::{lcm, position};
use crate::score::Time;
use crate::score::{Division, RowWord, Syllable, Voice};
use crate::source::say::RowBar;
use crate::source::{Diagnostics, Span};
use crate::syntax::tree::{CountGroup, Word};

/// Grids that still have names where a division runs over several beats: the triplets and the
/// halves of each beat.
const GRIDS_ACROSS_BEATS: [u32; 5] = [1, 2, 3, 4, 6];

/// A struck hit seen from its beat.
#[derive(Clone, Copy, Debug)]
struct Onset {
    /// From the start of the meter.
    at: Time,
    /// The part of the beat it falls on, and of how many; none where the part has no name.
    part: Option<(u32, u32)>,
}

/// The onsets of one voice, beat by beat, and the grid each beat shows.
struct VoiceOnsets {
    onsets: Vec<Vec<Onset>>,
    grids: Vec<u32>,
}

impl Counter {
    /// The syllables of a bar, by time: of its struck hits, and where `all` is set also of the
    /// silent parts of each beat's own subdivision. `offset` is where in the meter the bar starts,
    /// `length` how long it is; the times given back count from the bar's start.
    pub fn spell(
        &self,
        voices: [&Voice; 2],
        offset: Time,
        length: Time,
        all: bool,
    ) -> Vec<Syllable> {
        let lines = voices.map(|voice| self.line(voice, offset));
        let mut syllables: Vec<Syllable> = Vec::new();
        for (index, beat) in self.beats.iter().enumerate() {
            if beat.end() <= offset || beat.start >= offset + length {
                continue;
            }
            let grids = [&lines[0], &lines[1]].map(|l| l.grids.get(index).copied().unwrap_or(1));
            let shared = lcm(grids[0], grids[1]).filter(|n| grids.contains(n));
            let first = syllables.len();
            for (line, own) in lines.iter().zip(grids) {
                let Some(onsets) = line.onsets.get(index) else { continue };
                for onset in onsets {
                    let Some((part, parts)) = onset.part else { continue };
                    let grid = shared.unwrap_or(own);
                    if let Some(text) = self.word(beat, grid, part * (grid / parts.max(1))) {
                        syllables.push(Syllable { at: onset.at - offset, text, sounded: true });
                    }
                }
            }
            if all {
                let grid = shared.unwrap_or(grids[0]);
                for part in 0..grid {
                    let at = beat.start + beat.length * i64::from(part) / i64::from(grid);
                    if let Some(text) = self.word(beat, grid, part).filter(|_| at >= offset) {
                        syllables.push(Syllable { at: at - offset, text, sounded: false });
                    }
                }
            }
            syllables[first..].sort_by_key(|s| (s.at, !s.sounded));
        }
        syllables.dedup_by_key(|s| s.at);
        syllables.retain(|s| s.at < length);
        syllables
    }

    fn line(&self, voice: &Voice, offset: Time) -> VoiceOnsets {
        let mut onsets = vec![Vec::new(); self.beats.len()];
        let mut grids = vec![1; self.beats.len()];
        for hit in voice.hits.iter().filter(|hit| !hit.continued && !hit.is_slash()) {
            let at = hit.at + offset;
            let index = self.beats.partition_point(|beat| beat.start <= at).saturating_sub(1);
            let Some(beat) = self.beats.get(index) else { continue };
            let (part, parts) = position(at, beat.start, beat.length);
            let joined = lcm(grids[index], parts)
                .filter(|_| has_names(&voice.divisions, hit.at, beat, offset, parts));
            if let Some(grid) = joined {
                grids[index] = grid;
            }
            onsets[index].push(Onset { at, part: joined.map(|_| (part, parts)) });
        }
        VoiceOnsets { onsets, grids }
    }

    /// The count row that reads as the struck hits of a bar and no others; nothing where no row
    /// does, since some hit has no name or would be read elsewhere.
    pub fn spell_row(&self, voices: [&Voice; 2], offset: Time, length: Time) -> Option<String> {
        let mut onsets: Vec<Time> = voices
            .iter()
            .flat_map(|v| v.hits.iter().filter(|h| !h.continued).map(|h| h.at + offset))
            .collect();
        onsets.sort();
        onsets.dedup();
        let mut groups: Vec<CountGroup> = Vec::new();
        let mut named = self.spell(voices, offset, length, false).into_iter().peekable();
        for beat in &self.beats {
            let mut syllables = Vec::new();
            while let Some(next) = named.next_if(|s| s.at + offset < beat.end()) {
                syllables.push(next);
            }
            groups.extend(self.row_of_beat(beat, &syllables, offset)?);
        }
        let place = RowBar { row: RowWord::Count.as_str(), bar: None };
        let refs: Vec<&CountGroup> = groups.iter().collect();
        let place = CountPlace { place, meter: "" };
        let reading = self.read(&refs, Time::ZERO, place, &mut Diagnostics::default());
        let read: Vec<Time> = reading.slots.iter().map(|slot| slot.at).collect();
        (!reading.broken && read == onsets).then(|| written(&groups))
    }

    fn row_of_beat(
        &self,
        beat: &Beat,
        syllables: &[Syllable],
        offset: Time,
    ) -> Option<Vec<CountGroup>> {
        let word = |text: &str| Word::new(text.to_owned(), Span::default());
        let mut grid = 1;
        for syllable in syllables {
            grid = lcm(grid, position(syllable.at + offset, beat.start, beat.length).1)?;
        }
        let plain = |s: &Syllable| s.at + offset == beat.start || s.text.parse::<u32>().is_err();
        if syllables.iter().all(plain) {
            let words = syllables.iter().map(|s| CountGroup::Word(word(&s.text)));
            return Some(words.collect());
        }
        let mut words = Vec::new();
        let mut rest = syllables.iter().peekable();
        for part in 0..grid {
            let at = beat.start + beat.length * i64::from(part) / i64::from(grid);
            let said = rest.next_if(|s| s.at + offset == at);
            words.push(said.map_or_else(|| word("."), |s| word(&s.text)));
        }
        Some(vec![CountGroup::Division { words, span: Span::default() }])
    }
}

/// Whether the parts of a beat have names where a hit stands: not inside a division smaller than
/// the beat or inside an inner one, and only on simple grids in one that runs over several beats.
fn has_names(divisions: &[Division], at: Time, beat: &Beat, offset: Time, parts: u32) -> bool {
    let after = divisions.partition_point(|d| d.start < at);
    let Some(division) = after.checked_sub(1).and_then(|i| divisions.get(i)) else { return true };
    let (start, end) = (division.start + offset, division.start + division.length + offset);
    if at + offset >= end {
        return true;
    }
    if division.inner.iter().any(|d| at > d.start && at < d.start + d.length) {
        return false;
    }
    if start > beat.start || end < beat.end() {
        return false;
    }
    // A group over the barline runs over several beats, of which this bar has a part.
    let exact = start == beat.start && end == beat.end() && division.across.is_none();
    // Beats shorter than a quarter have no triplets of their own that a longer one could share.
    let short = beat.length < Time::QUARTER && !parts.is_power_of_two();
    exact || (GRIDS_ACROSS_BEATS.contains(&parts) && !short)
}

fn written(groups: &[CountGroup]) -> String {
    let groups: Vec<String> = groups
        .iter()
        .map(|group| match group {
            CountGroup::Word(word) => word.value.clone(),
            CountGroup::Division { words, .. } => {
                let words: Vec<&str> = words.iter().map(|w| w.value.as_str()).collect();
                format!("({})", words.join(" "))
            }
        })
        .collect();
    groups.join(" ")
}
