//! From the tables of a SoundFont to the regions of its drums.

use super::chunks::{Chunks, number};
use super::error::SoundFontError;
use super::generators::{Generators, is};
use super::region::{Part, Region, part};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Sizes of records in bytes.
const PRESET: usize = 38;
const INSTRUMENT: usize = 22;
const ZONE: usize = 4;
const GENERATOR: usize = 4;
const HEADER: usize = 46;
/// Drums have at most so many regions, and samples (128 MiB of them).
const MOST_REGIONS: usize = 16_384;
const MOST_SAMPLES: usize = 64 * 1024 * 1024;
/// The bank of drums.
const DRUMS: u16 = 128;

/// A record of a table.
fn record(table: &[u8], size: usize, at: usize) -> Option<&[u8]> {
    table.get(at.checked_mul(size)?..)?.get(..size)
}

/// The zones of a preset or an instrument, whose first zone stands at a place of the record in `owners`;
/// those of the next one follow.
fn zones<'a>(
    owners: (&[u8], usize, usize),
    which: usize,
    table: &'a [u8],
    generators: &'a [u8],
) -> impl Iterator<Item = &'a [u8]> {
    let (owners, size, place) = owners;
    let first = |at| record(owners, size, at).map(|record| usize::from(number(record, place)));
    let (from, to) = (first(which).unwrap_or(0), first(which + 1).unwrap_or(0));
    (from..to).map_while(move |zone| {
        let start = |zone| record(table, ZONE, zone).map(|zone| usize::from(number(zone, 0)));
        let (from, to) = (start(zone)? * GENERATOR, start(zone + 1)? * GENERATOR);
        Some(generators.get(from..to).unwrap_or_default())
    })
}

/// Zones with what they say; the first, where it names nothing, says what holds for all.
fn said<'a>(
    zones: impl Iterator<Item = &'a [u8]>,
    names: usize,
) -> impl Iterator<Item = Generators> {
    let mut for_all = Generators::NONE;
    let mut first = true;
    zones.filter_map(move |records| {
        let is_first = std::mem::replace(&mut first, false);
        let zone = Generators::NONE.with(records);
        if is_first && zone.get(names).is_none() {
            for_all = zone;
        }
        zone.get(names)?;
        Some(for_all.with(records))
    })
}

/// The preset of the drums: of their bank the one with the lowest number, else the lowest of all.
fn drums(presets: &[u8]) -> Option<usize> {
    // The last record only ends the table.
    let many = (presets.len() / PRESET).checked_sub(1)?;
    (0..many).min_by_key(|at| {
        let preset = record(presets, PRESET, *at).unwrap_or_default();
        let (program, bank) = (number(preset, 20), number(preset, 22));
        (bank != DRUMS, bank, program)
    })
}

/// Samples that regions play, each part of them once.
struct Samples<'a> {
    bytes: &'a [u8],
    parts: BTreeMap<(usize, usize), Arc<[i16]>>,
    many: usize,
}

impl Samples<'_> {
    fn of(&mut self, part: &Part) -> Result<Arc<[i16]>, SoundFontError> {
        let key = (part.from, part.to);
        if let Some(samples) = self.parts.get(&key) {
            return Ok(Arc::clone(samples));
        }
        self.many += part.to - part.from;
        if self.many > MOST_SAMPLES {
            return Err(SoundFontError::new("the drums of this SoundFont have too many samples"));
        }
        let bytes = self.bytes.get(2 * part.from..2 * part.to).unwrap_or_default();
        let pairs = bytes.chunks_exact(2);
        let samples: Arc<[i16]> = pairs.map(|pair| number(pair, 0).cast_signed()).collect();
        self.parts.insert(key, Arc::clone(&samples));
        Ok(samples)
    }
}

/// The regions of the drums.
pub(super) fn read(chunks: &Chunks<'_>) -> Result<Vec<Region>, SoundFontError> {
    let none = || SoundFontError::new("this SoundFont has no drums");
    let preset = drums(chunks.presets).ok_or_else(none)?;
    let mut samples = Samples { bytes: chunks.samples, parts: BTreeMap::new(), many: 0 };
    let presets = (chunks.presets, PRESET, 24);
    let preset_zones = zones(presets, preset, chunks.preset_zones, chunks.preset_generators);
    let mut regions = Vec::new();
    let mut looked_at = 0;
    for preset in said(preset_zones, is::INSTRUMENT) {
        let Some(instrument) = preset.place(is::INSTRUMENT) else { continue };
        let instruments = (chunks.instruments, INSTRUMENT, 20);
        let zones =
            zones(instruments, instrument, chunks.instrument_zones, chunks.instrument_generators);
        for zone in said(zones, is::SAMPLE) {
            looked_at += 1;
            if looked_at > MOST_REGIONS {
                return Err(SoundFontError::new("the drums of this SoundFont have too many parts"));
            }
            let header = zone.place(is::SAMPLE).and_then(|at| record(chunks.headers, HEADER, at));
            let Some(header) = header else { continue };
            let Some(part) = part(&zone, header, chunks.samples.len() / 2) else { continue };
            regions.push(Region::new((&preset, &zone), header, &part, samples.of(&part)?));
        }
    }
    if regions.is_empty() { Err(none()) } else { Ok(regions) }
}
