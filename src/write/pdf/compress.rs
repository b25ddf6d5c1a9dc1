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

/// A filter that saves less than its own entry in the dictionary is left out.
const FILTER_ENTRY: usize = "/Filter/FlateDecode".len();

thread_local! {
    /// The compressor's tables are larger than most of what it compresses, and made once. Beside it,
    /// whether it has compressed anything.
    static COMPRESSOR: RefCell<(Compress, bool)> =
        RefCell::new((Compress::new(Compression::new(LEVEL), true), false));
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
    COMPRESSOR.with_borrow_mut(|(compressor, used)| {
        if std::mem::replace(used, true) {
            compressor.reset();
        }
        let mut small = Vec::with_capacity(content.len() / 3 + 64);
        loop {
            let read = usize::try_from(compressor.total_in()).unwrap_or(usize::MAX);
            let rest = content.get(read..).unwrap_or(&[]);
            match compressor.compress_vec(rest, &mut small, FlushCompress::Finish)? {
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
        small.shrink_to_fit();
        Ok(small)
    })
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
