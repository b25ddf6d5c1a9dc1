//! Streams made smaller, each on its own and so on all processors at once.

use crate::parallel::map_in_order;
use flate2::Compression;
use flate2::write::ZlibEncoder;
use lopdf::{Document, Stream};
use std::io::Write;

/// How hard zlib tries, from 0 to 9: its own usual level. The highest takes twice as long and
/// makes the pages of a book smaller by a fiftieth.
const LEVEL: u32 = 6;

/// A filter that saves less than its own entry in the dictionary is left out.
const FILTER_ENTRY: usize = "/Filter/FlateDecode".len();

/// Compresses every stream that may be and is not.
pub(super) fn compress(document: &mut Document) -> std::io::Result<()> {
    let streams: Vec<&mut Stream> = document
        .objects
        .values_mut()
        .filter_map(|object| object.as_stream_mut().ok())
        .filter(|stream| stream.allows_compression && !stream.dict.has(b"Filter"))
        .collect();
    map_in_order(streams, deflate).into_iter().collect()
}

fn deflate(stream: &mut Stream) -> std::io::Result<()> {
    let room = stream.content.len() / 3;
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(room), Compression::new(LEVEL));
    encoder.write_all(&stream.content)?;
    let small = encoder.finish()?;
    if small.len() + FILTER_ENTRY < stream.content.len() {
        stream.dict.set("Filter", "FlateDecode");
        stream.set_content(small);
    }
    Ok(())
}
