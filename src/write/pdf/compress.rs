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

/// A content that was compressed before it is part of a document.
pub(super) struct Packed {
    content: Vec<u8>,
    small: Vec<u8>,
}

impl Packed {
    /// A content, compressed.
    ///
    /// # Errors
    /// Passes on what the compressor says.
    pub(super) fn of(content: Vec<u8>) -> std::io::Result<Self> {
        let small = deflate(&content)?;
        Ok(Self { content, small })
    }
}

/// Compresses every stream that may be and is not; of some contents it is known what they come to.
pub(super) fn compress(document: &mut Document, known: &[Packed]) -> std::io::Result<()> {
    let streams = document.objects.values_mut().filter_map(|object| object.as_stream_mut().ok());
    let mut unknown = Vec::new();
    for stream in streams.filter(|own| own.allows_compression && !own.dict.has(b"Filter")) {
        match known.iter().find(|known| known.content == stream.content) {
            Some(known) => put(stream, known.small.clone()),
            None => unknown.push(stream),
        }
    }
    let bytes: usize = unknown.iter().map(|stream| stream.content.len()).sum();
    let each = if bytes < LARGE { Each::Small } else { Each::Large };
    map_in_order(each, unknown, shrink).into_iter().collect()
}

/// A stream of a content, compressed where that saves something.
pub(super) fn stream(content: Vec<u8>) -> std::io::Result<Stream> {
    let mut stream = Stream::new(lopdf::Dictionary::new(), content);
    shrink(&mut stream)?;
    Ok(stream)
}

fn shrink(stream: &mut Stream) -> std::io::Result<()> {
    let small = deflate(&stream.content)?;
    put(stream, small);
    Ok(())
}

/// Puts a compressed content in the place of the same, where that saves something.
fn put(stream: &mut Stream, small: Vec<u8>) {
    if small.len() + FILTER_ENTRY < stream.content.len() {
        stream.dict.set("Filter", "FlateDecode");
        stream.set_content(small);
    }
    stream.allows_compression = false;
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
    fn what_is_known_takes_its_place_and_the_rest_is_compressed() {
        let mut document = Document::new();
        let add = |content: &[u8]| {
            document.add_object(Stream::new(lopdf::Dictionary::new(), content.to_vec()))
        };
        let ids = [&b"ab".repeat(500), &b"cd".repeat(500), &b"e".to_vec()]
            .map(|own| own.as_slice())
            .map(add);
        // It says where it comes from.
        let known = Packed { content: b"cd".repeat(500), small: b"known".to_vec() };
        compress(&mut document, &[known]).expect("compressed");
        let streams = ids.map(|id| document.get_object(id).and_then(lopdf::Object::as_stream));
        let streams = streams.map(|stream| stream.expect("a stream"));
        let contents = streams.map(|stream| stream.content.as_slice());
        let packed = Packed::of(b"ab".repeat(500)).expect("compressed");
        assert_eq!(contents, [packed.small.as_slice(), b"known", b"e"]);
        assert_eq!(streams.map(|stream| stream.dict.has(b"Filter")), [true, true, false]);
    }

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
