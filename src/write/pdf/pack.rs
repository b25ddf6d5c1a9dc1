//! Objects packed together in one stream (ISO 32000-1, 7.5.7).

use super::compress;
use super::operand::put_integer;
use lopdf::Stream;
use std::io;

/// How many objects are packed together. Elements of the structure are many and alike: packed they take a tenth; a
/// reader unpacks all of them for one.
pub(super) const PACKED: usize = 200;

/// About how many bytes an object is.
const ONE: usize = 120;

/// Objects that are to be packed, as bytes, one after another.
#[derive(Debug, Default)]
pub(super) struct Pack {
    bytes: Vec<u8>,
    /// The number of each, and where it starts.
    objects: Vec<(u32, usize)>,
}

/// A stream of objects.
#[derive(Debug)]
pub(super) struct PackedObjects {
    /// The number of each.
    pub(super) numbers: Vec<u32>,
    pub(super) stream: Stream,
}

impl Pack {
    /// One with room for as many as it is to hold, as far as that can be told.
    pub(super) fn with_room() -> Self {
        Self { bytes: Vec::with_capacity(PACKED * ONE), objects: Vec::with_capacity(PACKED) }
    }

    /// Adds the object of a number, as it is written.
    pub(super) fn put(&mut self, number: u32, write: impl FnOnce(&mut Vec<u8>)) {
        self.objects.push((number, self.bytes.len()));
        write(&mut self.bytes);
        self.bytes.push(b' ');
    }

    /// Whether it holds none.
    pub(super) fn is_empty(&self) -> bool {
        self.objects.is_empty()
    }

    /// Whether it holds as many as one is to.
    pub(super) fn is_full(&self) -> bool {
        self.objects.len() >= PACKED
    }

    /// The stream of them.
    ///
    /// # Errors
    /// Passes on what the compressor says.
    pub(super) fn packed(self) -> io::Result<PackedObjects> {
        let mut content = Vec::with_capacity(self.bytes.len() + 10 * self.objects.len());
        for (number, start) in &self.objects {
            put_integer(&mut content, (*number).into());
            content.push(b' ');
            put_integer(&mut content, *start as i64);
            content.push(b' ');
        }
        let first = content.len();
        content.extend_from_slice(&self.bytes);
        let mut stream = compress::stream(content)?;
        stream.dict.set("Type", "ObjStm");
        stream.dict.set("N", self.objects.len() as i64);
        stream.dict.set("First", first as i64);
        let numbers = self.objects.into_iter().map(|(number, _)| number).collect();
        Ok(PackedObjects { numbers, stream })
    }
}
