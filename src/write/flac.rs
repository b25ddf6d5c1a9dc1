//! Sound as FLAC: 48 kHz, 24 bits, two channels, compressed without loss, with title, author and a cover
//! picture (RFC 9639). It goes to its file block by block.
//!
//! Predictors are the fixed ones: those that are fitted to the sound are worked out with the platform's
//! sines, and the bytes would differ from machine to machine.

use super::error::WriteError;
use super::samples::{BITS, BLOCK, CHANNELS, each_block};
use crate::sound::{FRAMES_PER_SECOND, Mixer, Strike};
use flacenc::bitsink::ByteSink;
use flacenc::component::{BitRepr, MetadataBlockData, Stream, StreamInfo};
use flacenc::config::{Encoder, OrderSel};
use flacenc::error::{Verified, Verify};
use flacenc::source::{Context, Fill, FrameBuf, MemSource};
use std::io::{BufWriter, Seek, SeekFrom, Write};

/// Blocks of metadata.
const COMMENTS: u8 = 4;
const PICTURE: u8 = 6;
/// The length of such a block has 24 bits; a cover whose bytes would not fit is left out.
const MOST_METADATA: usize = (1 << 24) - 1 - 1_024;
/// A picture that is the cover's front.
const FRONT: u32 = 3;
/// Predictors look back so many samples at most: more take half as long again, and drums, which are noise for
/// the most part, shrink little by them. Common practice, no source.
const ORDERS: usize = 2;
/// The count of frames has 36 bits, and that of blocks 31: 398 hours.
const MOST_FRAMES: u64 = (1 << 36) - 1;

/// What the file says of itself. What is not known is left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tags {
    /// The piece or the exercise.
    pub title: Option<String>,
    /// Who wrote it.
    pub artist: Option<String>,
    /// What it belongs to.
    pub album: Option<String>,
    /// Its number there, from 1.
    pub track: Option<u32>,
    /// A picture.
    pub cover: Option<Cover>,
}

/// A cover picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cover {
    /// A PNG file.
    pub png: Vec<u8>,
    /// Its width and height in pixels.
    pub size: (u32, u32),
}

impl Cover {
    /// The picture of a PNG file; nothing where the bytes are none.
    #[must_use]
    pub fn of_png(png: Vec<u8>) -> Option<Self> {
        // Width and height stand in the first chunk, high byte first (ISO/IEC 15948, 11.2.2).
        let side = |at: usize| {
            let bytes = png.get(at..at + 4)?.try_into().ok()?;
            Some(u32::from_be_bytes(bytes))
        };
        let size = (side(16)?, side(20)?);
        (png.get(12..16)? == b"IHDR").then_some(Self { png, size })
    }
}

/// Writes all that a mixer has left to a file.
///
/// # Errors
/// Where it is longer than such a file can be, 398 hours, or where writing fails.
pub fn write<I, W>(mixer: &mut Mixer<'_, I>, tags: &Tags, to: W) -> Result<(), WriteError>
where
    I: Iterator<Item = Strike>,
    W: Write + Seek,
{
    if mixer.left() > MOST_FRAMES {
        return Err(WriteError("a FLAC file holds 398 hours at most".to_owned()));
    }
    let mut info = StreamInfo::new(FRAMES_PER_SECOND as usize, CHANNELS, BITS).map_err(told)?;
    let mut to = BufWriter::new(to);
    let start = to.stream_position().map_err(told)?;
    // What the head says of the frames is not known yet; it has the same length later.
    to.write_all(&head(&info, tags)?).map_err(told)?;
    let encoder = encoder()?;
    let mut buffer = FrameBuf::with_size(CHANNELS, BLOCK).map_err(told)?;
    let mut context = Context::new(BITS, CHANNELS);
    let mut sink = ByteSink::new();
    let mut number = 0;
    each_block(mixer, |block| {
        buffer.fill_interleaved(block).map_err(told)?;
        context.fill_interleaved(block).map_err(told)?;
        let frame = flacenc::encode_fixed_size_frame(&encoder, &buffer, number, &info);
        let frame = frame.map_err(told)?;
        info.update_frame_info(&frame);
        number += 1;
        sink.clear();
        frame.write(&mut sink).map_err(told)?;
        to.write_all(sink.as_slice()).map_err(told)
    })?;
    info.set_block_sizes(BLOCK, BLOCK).map_err(told)?;
    if number == 0 {
        info.set_frame_sizes(0, 0).map_err(told)?;
    }
    info.set_md5_digest(&context.md5_digest());
    let end = to.stream_position().map_err(told)?;
    to.seek(SeekFrom::Start(start)).map_err(told)?;
    to.write_all(&head(&info, tags)?).map_err(told)?;
    to.seek(SeekFrom::Start(end)).map_err(told)?;
    to.flush().map_err(told)
}

/// A short sound of 16 bits that is in memory; left and right in turn.
pub(super) fn sound_in_memory(samples: &[i16]) -> Result<Vec<u8>, WriteError> {
    const BITS: usize = 16;
    let samples: Vec<i32> = samples.iter().map(|sample| i32::from(*sample)).collect();
    let source = MemSource::from_samples(&samples, CHANNELS, BITS, FRAMES_PER_SECOND as usize);
    let stream = flacenc::encode_with_fixed_block_size(&encoder()?, source, BLOCK).map_err(told)?;
    let mut sink = ByteSink::new();
    stream.write(&mut sink).map_err(told)?;
    Ok(sink.into_inner())
}

fn encoder() -> Result<Verified<Encoder>, WriteError> {
    let mut encoder = Encoder::default();
    encoder.block_size = BLOCK;
    encoder.multithread = false;
    encoder.subframe_coding.use_lpc = false;
    encoder.subframe_coding.fixed.max_order = ORDERS;
    encoder.subframe_coding.fixed.order_sel = OrderSel::BitCount;
    encoder.into_verified().map_err(|(_, error)| told(error))
}

/// What stands before the frames.
fn head(info: &StreamInfo, tags: &Tags) -> Result<Vec<u8>, WriteError> {
    let mut stream = Stream::with_stream_info(info.clone());
    let comments = MetadataBlockData::new_unknown(COMMENTS, &comments(tags)).map_err(told)?;
    stream.add_metadata_block(comments);
    if let Some(cover) = tags.cover.as_ref().filter(|cover| cover.png.len() <= MOST_METADATA) {
        let picture = MetadataBlockData::new_unknown(PICTURE, &picture(cover)).map_err(told)?;
        stream.add_metadata_block(picture);
    }
    let mut sink = ByteSink::new();
    stream.write(&mut sink).map_err(told)?;
    Ok(sink.into_inner())
}

/// Vorbis comments: lengths from the low byte up.
fn comments(tags: &Tags) -> Vec<u8> {
    let track = tags.track.map(|track| track.to_string());
    let fields = [
        ("TITLE", &tags.title),
        ("ARTIST", &tags.artist),
        ("ALBUM", &tags.album),
        ("TRACKNUMBER", &track),
    ];
    let fields: Vec<String> = fields
        .into_iter()
        .filter_map(|(name, value)| value.as_ref().map(|value| format!("{name}={}", short(value))))
        .collect();
    let length = |length: usize| u32::try_from(length).unwrap_or(0).to_le_bytes();
    let mut bytes = Vec::new();
    let vendor = "Flamacue";
    bytes.extend(length(vendor.len()));
    bytes.extend(vendor.as_bytes());
    bytes.extend(length(fields.len()));
    for field in fields {
        bytes.extend(length(field.len()));
        bytes.extend(field.as_bytes());
    }
    bytes
}

/// A text of at most a million letters, so that all of them fit in a block.
fn short(text: &str) -> &str {
    let end = text.char_indices().nth(1_000_000).map_or(text.len(), |(at, _)| at);
    &text[..end]
}

/// A picture block: numbers from the high byte down.
fn picture(cover: &Cover) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(cover.png.len() + 64);
    let number = |bytes: &mut Vec<u8>, number: u32| bytes.extend(number.to_be_bytes());
    let kind = "image/png";
    number(&mut bytes, FRONT);
    number(&mut bytes, kind.len() as u32);
    bytes.extend(kind.as_bytes());
    // No description.
    number(&mut bytes, 0);
    number(&mut bytes, cover.size.0);
    number(&mut bytes, cover.size.1);
    // Bits of a pixel, and colours of a palette: none.
    number(&mut bytes, 32);
    number(&mut bytes, 0);
    number(&mut bytes, u32::try_from(cover.png.len()).unwrap_or(0));
    bytes.extend(&cover.png);
    bytes
}

fn told(error: impl std::fmt::Display) -> WriteError {
    WriteError(error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::{Kit, Side, Technique, Voice};
    use std::io::Cursor;

    fn strikes() -> Vec<Strike> {
        let voice = |key| Voice { key, technique: Technique::Plain };
        let strike = |frame, key| Strike {
            frame,
            voice: voice(key),
            loudness: 0.9,
            until: None,
            hand: Side::Unknown,
        };
        vec![strike(10, 36), strike(9_000, 49), strike(20_000, 38)]
    }

    fn written(length: u64, tags: &Tags) -> Vec<u8> {
        let mut kit = Kit::own();
        let mut bytes = Cursor::new(Vec::new());
        write(&mut Mixer::new(&mut kit, strikes(), length), tags, &mut bytes).unwrap();
        bytes.into_inner()
    }

    #[test]
    fn it_reads_back_as_it_was() {
        for length in [0, 1, 15, BLOCK as u64, 30_011] {
            let flac = written(length, &Tags::default());
            let mut kit = Kit::own();
            let mut wanted = Vec::new();
            let mut mixer = Mixer::new(&mut kit, strikes(), length);
            each_block(&mut mixer, |block| {
                wanted.extend_from_slice(block);
                Ok(())
            })
            .unwrap();
            let mut reader = claxon::FlacReader::new(Cursor::new(flac)).unwrap();
            let info = reader.streaminfo();
            assert_eq!((info.channels, info.sample_rate, info.bits_per_sample), (2, 48_000, 24));
            assert_eq!(info.samples.unwrap_or(0), length);
            let samples: Vec<i32> = reader.samples().map(Result::unwrap).collect();
            assert!(samples == wanted, "{length} frames");
        }
    }

    #[test]
    fn title_and_cover_are_in_it() {
        let cover = Cover { png: vec![7; 3_000], size: (30, 20) };
        let tags = Tags {
            title: Some("Sechzehntel für beide Hände".to_owned()),
            artist: Some("A. B.".to_owned()),
            album: None,
            track: Some(12),
            cover: Some(cover),
        };
        let flac = written(5_000, &tags);
        let reader = claxon::FlacReader::new(Cursor::new(&flac)).unwrap();
        let tags: Vec<(&str, &str)> = reader.tags().collect();
        let wanted =
            [("TITLE", "Sechzehntel für beide Hände"), ("ARTIST", "A. B."), ("TRACKNUMBER", "12")];
        assert_eq!(tags, wanted);
        assert!(flac.windows(3_000).any(|bytes| bytes.iter().all(|byte| *byte == 7)));
    }
}
