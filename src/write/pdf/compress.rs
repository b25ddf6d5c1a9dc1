//! Streams made smaller, each on its own and so on all processors at once.

use crate::parallel::{Each, map_in_order};
use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::{Document, Stream};
use std::cell::RefCell;

/// How hard zlib tries, from 0 to 9. Its own usual level, 6, takes a sixth longer and makes a book smaller by 4 bytes of
/// a thousand; the highest takes twice as long and makes its pages smaller by a fiftieth.
const LEVEL: u32 = 5;

/// Bytes that take about half a millisecond: faces of a handout come to two or three times as many.
const LARGE: usize = 16 * 1024;

/// Room in bytes that a compressor keeps: more than most pages take.
const KEPT: usize = 64 * 1024;

/// A filter that saves less than its own entry in the dictionary is left out.
const FILTER_ENTRY: usize = "/Filter/FlateDecode".len();

thread_local! {
    static COMPRESSOR: RefCell<Compressor> = RefCell::new(Compressor::new());
}

/// A compressor, whose tables are larger than most of what it compresses, and made once.
struct Compressor {
    zlib: Compress,
    /// It has compressed something.
    used: bool,
    /// What that came to. It grows here, so that what is kept of it takes no more room than it has to.
    small: Vec<u8>,
}

/// Compresses every stream that may be and is not.
pub(super) fn compress(document: &mut Document) -> std::io::Result<()> {
    let streams: Vec<&mut Stream> = document
        .objects
        .values_mut()
        .filter_map(|object| object.as_stream_mut().ok())
        .filter(|stream| stream.allows_compression && !stream.dict.has(b"Filter"))
        .collect();
    let bytes: usize = streams.iter().map(|stream| stream.content.len()).sum();
    let each = if bytes < LARGE { Each::Small } else { Each::Large };
    map_in_order(each, streams, shrink).into_iter().collect()
}

/// A stream of a content, compressed where that saves something.
pub(super) fn stream(content: Vec<u8>) -> std::io::Result<Stream> {
    let mut stream = Stream::new(lopdf::Dictionary::new(), content);
    shrink(&mut stream)?;
    Ok(stream)
}

fn shrink(stream: &mut Stream) -> std::io::Result<()> {
    let small = deflate(&stream.content)?;
    if small.len() + FILTER_ENTRY < stream.content.len() {
        stream.dict.set("Filter", "FlateDecode");
        stream.set_content(small);
    }
    stream.allows_compression = false;
    Ok(())
}

/// The compressed form of a content, whether it saves something or not.
pub(super) fn deflate(content: &[u8]) -> std::io::Result<Vec<u8>> {
    COMPRESSOR.with_borrow_mut(|compressor| compressor.deflate(content))
}

impl Compressor {
    fn new() -> Self {
        let zlib = Compress::new(Compression::new(LEVEL), true);
        Self { zlib, used: false, small: Vec::new() }
    }

    fn deflate(&mut self, content: &[u8]) -> std::io::Result<Vec<u8>> {
        let Self { zlib, used, small } = self;
        if std::mem::replace(used, true) {
            zlib.reset();
        }
        small.clear();
        small.reserve(content.len() / 3 + 64);
        loop {
            let read = usize::try_from(zlib.total_in()).unwrap_or(usize::MAX);
            let rest = content.get(read..).unwrap_or(&[]);
            match zlib.compress_vec(rest, small, FlushCompress::Finish)? {
                Status::StreamEnd => break,
                // It stops before the end for want of room alone.
                Status::Ok | Status::BufError if small.len() == small.capacity() => {
                    small.reserve(small.capacity());
                }
                Status::Ok | Status::BufError => {
                    return Err(std::io::Error::other("the compressor stopped"));
                }
            }
        }
        let packed = small.clone();
        // Once in a while something is large, as a picture is, and nothing after it may be.
        small.shrink_to(KEPT);
        Ok(packed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Read;

    #[test]
    fn what_is_compressed_reads_back_whatever_was_before() {
        let noise: Vec<u8> =
            (0_u32..70_000).map(|n| (n.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
        for content in [&b""[..], b"a", &noise, &b"ab".repeat(50_000), b""] {
            let small = deflate(content).expect("compressed");
            assert_eq!(small, deflate(content).expect("compressed"), "the same bytes");
            let mut read = Vec::new();
            let mut decoder = flate2::read::ZlibDecoder::new(small.as_slice());
            decoder.read_to_end(&mut read).expect("zlib");
            assert!(read == content);
        }
    }
}
