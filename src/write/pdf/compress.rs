//! Streams made smaller, each on its own and so on all processors at once.

use crate::parallel::map_in_order_with;
use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::{Document, Stream};

/// How hard zlib tries, from 0 to 9: its own usual level. The highest takes twice as long and
/// makes the pages of a book smaller by a fiftieth.
const LEVEL: u32 = 6;

/// A filter that saves less than its own entry in the dictionary is left out.
const FILTER_ENTRY: usize = "/Filter/FlateDecode".len();

/// Compresses streams one after the other with the same tables, which are large.
pub(super) struct Deflater(Compress);

impl Deflater {
    pub(super) fn new() -> Self {
        Self(Compress::new(Compression::new(LEVEL), true))
    }

    /// A stream of a content, compressed where that saves something.
    pub(super) fn stream(&mut self, content: Vec<u8>) -> std::io::Result<Stream> {
        let mut stream = Stream::new(lopdf::Dictionary::new(), content);
        self.shrink(&mut stream)?;
        Ok(stream)
    }

    fn shrink(&mut self, stream: &mut Stream) -> std::io::Result<()> {
        let small = self.deflate(&stream.content)?;
        if small.len() + FILTER_ENTRY < stream.content.len() {
            stream.dict.set("Filter", "FlateDecode");
            stream.set_content(small);
        }
        stream.allows_compression = false;
        Ok(())
    }

    /// The compressed form of a content, whether it saves something or not.
    pub(super) fn deflate(&mut self, content: &[u8]) -> std::io::Result<Vec<u8>> {
        let mut small = Vec::with_capacity(content.len() / 3 + 64);
        self.0.reset();
        loop {
            let read = usize::try_from(self.0.total_in()).unwrap_or(usize::MAX);
            let rest = content.get(read..).unwrap_or(&[]);
            match self.0.compress_vec(rest, &mut small, FlushCompress::Finish)? {
                Status::StreamEnd => break,
                Status::Ok | Status::BufError => small.reserve(small.capacity()),
            }
        }
        small.shrink_to_fit();
        Ok(small)
    }
}

/// Compresses every stream that may be and is not.
pub(super) fn compress(document: &mut Document) -> std::io::Result<()> {
    let streams: Vec<&mut Stream> = document
        .objects
        .values_mut()
        .filter_map(|object| object.as_stream_mut().ok())
        .filter(|stream| stream.allows_compression && !stream.dict.has(b"Filter"))
        .collect();
    map_in_order_with(streams, Deflater::new, Deflater::shrink).into_iter().collect()
}
