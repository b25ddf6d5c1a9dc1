//! Objects written as soon as they are made. A book has tens of thousands of them beside its pages, and as
//! objects they take ten times the room of their bytes.

use super::object;
use super::pack::{PACKED, Pack, PackedObjects};
use crate::parallel::{Each, Later, later, map_in_order};
use lopdf::{Object, ObjectId};
use std::io;

/// Objects that are to lie in the file, each pack of them being packed as soon as it is full.
#[derive(Debug, Default)]
pub(super) struct WrittenObjects {
    /// Those of which many came at once.
    many: Vec<Packing>,
    /// Those that came one by one.
    single: Vec<Packing>,
    /// The last of these.
    open: Pack,
}

/// Objects as they come from the compressor.
type Packing = Later<io::Result<PackedObjects>>;

impl WrittenObjects {
    /// Writes an object under a number.
    pub(super) fn put(&mut self, id: ObjectId, object: &Object) {
        self.put_with(id, |out| object::put(out, object));
    }

    /// The same of one that `write` appends.
    pub(super) fn put_with(&mut self, (number, _): ObjectId, write: impl FnOnce(&mut Vec<u8>)) {
        if self.open.is_full() {
            let full = std::mem::take(&mut self.open);
            self.single.push(later(move || full.packed()));
        }
        self.open.put(number, write);
    }

    /// Writes many objects under their numbers, each as `write` does it, which is told how many are before it.
    pub(super) fn put_all<T: Sync>(
        &mut self,
        ids: &[ObjectId],
        objects: &[T],
        write: impl Fn(&mut Vec<u8>, usize, &T) + Sync,
    ) {
        let (full, full_ids) = (objects.chunks_exact(PACKED), ids.chunks_exact(PACKED));
        let rest = full_ids.remainder().iter().zip(full.remainder());
        let packed = |(nth, (ids, objects)): (usize, (&[ObjectId], &[T]))| {
            let mut pack = Pack::with_room();
            for (index, ((number, _), object)) in ids.iter().zip(objects).enumerate() {
                pack.put(*number, |out| write(out, nth * PACKED + index, object));
            }
            later(move || pack.packed())
        };
        let first = full.len() * PACKED;
        let full = full_ids.zip(full).enumerate().collect();
        self.many.extend(map_in_order(Each::Large, full, packed));
        for (index, (id, object)) in rest.enumerate() {
            self.put_with(*id, |out| write(out, first + index, object));
        }
    }

    /// All in packs.
    ///
    /// # Errors
    /// Passes on what the compressor says.
    pub(super) fn packed(self) -> io::Result<Vec<PackedObjects>> {
        let Self { many, single, open } = self;
        let last = (!open.is_empty()).then(|| later(move || open.packed()));
        let stopped = || Err(io::Error::other("the compressor stopped"));
        let packed = |packing: Packing| packing.get().unwrap_or_else(stopped);
        many.into_iter().chain(single).chain(last).map(packed).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_fill_packs_and_the_rest_lies_with_others() {
        let ids: Vec<ObjectId> = (1..=450).map(|number| (number, 0)).collect();
        let many: Vec<i64> = (1..=450).map(|number| number - 1).collect();
        let mut written = WrittenObjects::default();
        written.put((1001, 0), &Object::from("First"));
        let put = |out: &mut Vec<u8>, before: usize, own: &i64| {
            assert_eq!(before as i64, *own);
            object::put(out, &Object::from(-1 - own));
        };
        written.put_all(&ids, &many, put);
        written.put((1002, 0), &Object::from("Last"));
        let packs = written.packed().expect("compressed");
        let numbers: Vec<Vec<u32>> = packs.iter().map(|pack| pack.numbers.clone()).collect();
        let rest: Vec<u32> = [1001].into_iter().chain(401..=450).chain([1002]).collect();
        assert_eq!(numbers, [(1..=200).collect(), (201..=400).collect(), rest]);
        let content = packs[2].stream.decompressed_content().expect("a stream");
        assert!(content.starts_with(b"1001 0 401 7 402 12 "), "where each starts");
        assert!(String::from_utf8_lossy(&content).contains("/First -401 -402 "), "one by one");
        assert!(content.ends_with(b"-450 /Last "), "to the last");
    }
}
