//! Objects written as soon as they are made. A book has tens of thousands of them beside its pages, and as
//! objects they take ten times the room of their bytes.

use super::object;
use lopdf::{Document, Object, ObjectId};

/// Objects as bytes, one after another.
#[derive(Debug, Default)]
pub(super) struct WrittenObjects {
    bytes: Vec<u8>,
    /// The number of each, and where it starts.
    objects: Vec<(u32, usize)>,
}

impl WrittenObjects {
    /// Writes an object under a new number of a document.
    pub(super) fn add(&mut self, document: &mut Document, object: impl Into<Object>) -> ObjectId {
        let id = document.new_object_id();
        self.put(id, object);
        id
    }

    /// Writes an object under a number.
    pub(super) fn put(&mut self, (number, _): ObjectId, object: impl Into<Object>) {
        self.objects.push((number, self.bytes.len()));
        object::put(&mut self.bytes, &object.into());
    }

    /// The number and the bytes of each, in the order they were written.
    pub(super) fn iter(&self) -> impl Iterator<Item = (u32, &[u8])> {
        let ends = self.objects.iter().skip(1).map(|(_, start)| *start);
        let objects = self.objects.iter().zip(ends.chain([self.bytes.len()]));
        objects.map(|((number, start), end)| (*number, self.bytes.get(*start..end).unwrap_or(&[])))
    }
}
