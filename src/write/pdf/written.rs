//! Objects written as soon as they are made. A book has tens of thousands of them beside its pages, and as
//! objects they take ten times the room of their bytes.

use super::object;
use super::pack::{PACKED, Pack, PackedObjects};
use crate::parallel::{Each, map_in_order};
use lopdf::{Object, ObjectId};
use std::io;

/// Objects that are to lie in the file, packed or about to be.
#[derive(Debug, Default)]
pub(super) struct WrittenObjects {
    packed: Vec<PackedObjects>,
    /// Those that came one by one; none but the last has room for more.
    open: Vec<Pack>,
}

impl WrittenObjects {
    /// Writes an object under a number.
    pub(super) fn put(&mut self, id: ObjectId, object: &Object) {
        self.put_with(id, |out| object::put(out, object));
    }

    /// The same of one that `write` appends.
    pub(super) fn put_with(&mut self, (number, _): ObjectId, write: impl FnOnce(&mut Vec<u8>)) {
        if self.open.last().is_none_or(Pack::is_full) {
            self.open.push(Pack::default());
        }
        if let Some(pack) = self.open.last_mut() {
            pack.put(number, write);
        }
    }

    /// Writes many objects under their numbers, each as `write` does it. What fills packs is packed at once.
    ///
    /// # Errors
    /// Passes on what the compressor says.
    pub(super) fn put_all<T: Sync>(
        &mut self,
        objects: &[(ObjectId, T)],
        write: impl Fn(&mut Vec<u8>, &T) + Sync,
    ) -> io::Result<()> {
        let full = objects.chunks_exact(PACKED);
        let rest = full.remainder();
        let packed = |objects: &[(ObjectId, T)]| {
            let mut pack = Pack::default();
            for ((number, _), object) in objects {
                pack.put(*number, |out| write(out, object));
            }
            pack.packed()
        };
        for packed in map_in_order(Each::Large, full.collect(), packed) {
            self.packed.push(packed?);
        }
        for (id, object) in rest {
            self.put_with(*id, |out| write(out, object));
        }
        Ok(())
    }

    /// All in packs.
    ///
    /// # Errors
    /// Passes on what the compressor says.
    pub(super) fn packed(self) -> io::Result<Vec<PackedObjects>> {
        let mut packed = self.packed;
        for pack in map_in_order(Each::Large, self.open, Pack::packed) {
            packed.push(pack?);
        }
        Ok(packed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_fill_packs_and_the_rest_lies_with_others() {
        let many: Vec<(ObjectId, i64)> = (1..=450).map(|n| ((n, 0), i64::from(n))).collect();
        let mut written = WrittenObjects::default();
        written.put((1001, 0), &Object::from("First"));
        let put = |out: &mut Vec<u8>, number: &i64| object::put(out, &Object::from(-*number));
        written.put_all(&many, put).expect("compressed");
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
