//! The chunks of a SoundFont: a RIFF file, whose lists and tables are slices of it.

use super::error::SoundFontError;

/// The tables that are needed, as bytes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Chunks<'a> {
    /// Samples of 16 bits, low byte first.
    pub(super) samples: &'a [u8],
    /// Presets and their zones and generators.
    pub(super) presets: &'a [u8],
    pub(super) preset_zones: &'a [u8],
    pub(super) preset_generators: &'a [u8],
    /// Instruments and their zones and generators.
    pub(super) instruments: &'a [u8],
    pub(super) instrument_zones: &'a [u8],
    pub(super) instrument_generators: &'a [u8],
    /// Headers of samples.
    pub(super) headers: &'a [u8],
}

/// A chunk: its name and what it holds.
struct Chunk<'a> {
    name: [u8; 4],
    holds: &'a [u8],
}

/// Takes the first chunk off some bytes; nothing where they don't hold what it claims.
fn chunk<'a>(bytes: &mut &'a [u8]) -> Option<Chunk<'a>> {
    let (name, rest) = bytes.split_first_chunk::<4>()?;
    let (length, rest) = rest.split_first_chunk::<4>()?;
    let length = usize::try_from(u32::from_le_bytes(*length)).ok()?;
    let holds = rest.get(..length)?;
    // Chunks start at even places.
    *bytes = rest.get(length + length % 2..).unwrap_or_default();
    Some(Chunk { name: *name, holds })
}

impl<'a> Chunks<'a> {
    pub(super) fn read(mut bytes: &'a [u8]) -> Result<Self, SoundFontError> {
        let none = || SoundFontError::new("this is no SoundFont of version 2");
        let riff = chunk(&mut bytes).filter(|chunk| &chunk.name == b"RIFF").ok_or_else(none)?;
        let mut lists = riff.holds.strip_prefix(b"sfbk").ok_or_else(none)?;
        let mut found = Self::default();
        while let Some(list) = chunk(&mut lists) {
            let Some((kind, mut rest)) = list.holds.split_first_chunk::<4>() else { continue };
            while let Some(chunk) = chunk(&mut rest) {
                found.take(kind, &chunk);
            }
        }
        if found.samples.starts_with(b"OggS") {
            return Err(SoundFontError::new("the samples of this SoundFont are compressed"));
        }
        let tables = [found.presets, found.instruments, found.headers, found.samples];
        if tables.iter().any(|table| table.is_empty()) {
            return Err(SoundFontError::new("parts of this SoundFont are missing"));
        }
        Ok(found)
    }

    fn take(&mut self, list: &[u8; 4], chunk: &Chunk<'a>) {
        let place = match (list, &chunk.name) {
            (b"sdta", b"smpl") => &mut self.samples,
            (b"pdta", b"phdr") => &mut self.presets,
            (b"pdta", b"pbag") => &mut self.preset_zones,
            (b"pdta", b"pgen") => &mut self.preset_generators,
            (b"pdta", b"inst") => &mut self.instruments,
            (b"pdta", b"ibag") => &mut self.instrument_zones,
            (b"pdta", b"igen") => &mut self.instrument_generators,
            (b"pdta", b"shdr") => &mut self.headers,
            _ => return,
        };
        *place = chunk.holds;
    }
}

/// A number of 16 bits at a place of a record; 0 where there is none.
pub(super) fn number(record: &[u8], at: usize) -> u16 {
    record
        .get(at..)
        .and_then(|bytes| bytes.first_chunk::<2>())
        .map_or(0, |bytes| u16::from_le_bytes(*bytes))
}

/// A number of 32 bits at a place of a record; 0 where there is none.
pub(super) fn long(record: &[u8], at: usize) -> u32 {
    u32::from(number(record, at)) | (u32::from(number(record, at + 2)) << 16)
}
