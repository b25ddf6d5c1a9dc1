//! The archive of a book: ZIP without what a book has no use for (PKWARE, APPNOTE 6.3.10; EPUB 3.3, "OCF
//! ZIP container"). The length of each file stands before it, also of the first, which is not packed and by
//! which a reader knows a book: crates for ZIP that bring little write it after the file, where a reader that
//! takes the archive as a stream can't find it.

use crate::write::error::WriteError;
use flate2::write::DeflateEncoder;
use flate2::{Compression, Crc};
use std::io::Write as _;

/// The version of ZIP that packs with deflate (4.4.3).
const VERSION: u16 = 20;
/// The first day ZIP can say, 1 January 1980 (4.4.6): a file says no other.
const FIRST_DAY: u16 = 0x21;
/// How a file is packed (4.4.5).
const STORED: u16 = 0;
const DEFLATED: u16 = 8;

/// A file of a book.
pub(super) struct BookFile {
    /// Its name, in ASCII.
    pub(super) name: String,
    pub(super) bytes: Vec<u8>,
    pub(super) packed: bool,
}

/// What stands before a file, and again in the list at the end.
struct Entry {
    method: u16,
    sum: u32,
    packed: u32,
    plain: u32,
    name: String,
    at: u32,
}

/// Files as one archive, in their order.
///
/// # Errors
/// Says that they are more than 65,535 files or four gigabytes.
pub(super) fn archive(files: Vec<BookFile>) -> Result<Vec<u8>, WriteError> {
    let mut out = Vec::new();
    let mut entries = Vec::new();
    for file in files {
        let mut crc = Crc::new();
        crc.update(&file.bytes);
        let plain = size(file.bytes.len())?;
        let (method, bytes) =
            if file.packed { (DEFLATED, deflated(&file.bytes)?) } else { (STORED, file.bytes) };
        let packed = size(bytes.len())?;
        let at = size(out.len())?;
        let entry = Entry { method, sum: crc.sum(), packed, plain, name: file.name, at };
        out.extend(b"PK\x03\x04");
        entry.put(&mut out)?;
        out.extend(entry.name.as_bytes());
        out.extend(bytes);
        entries.push(entry);
    }
    let list = out.len();
    for entry in &entries {
        out.extend(b"PK\x01\x02");
        put16(&mut out, &[VERSION]);
        entry.put(&mut out)?;
        // No comment, the first disk, no attributes.
        put16(&mut out, &[0, 0, 0]);
        put32(&mut out, &[0, entry.at]);
        out.extend(entry.name.as_bytes());
    }
    let count = u16::try_from(entries.len()).map_err(|_| too_large())?;
    let sizes = [size(out.len() - list)?, size(list)?];
    out.extend(b"PK\x05\x06");
    put16(&mut out, &[0, 0, count, count]);
    put32(&mut out, &sizes);
    put16(&mut out, &[0]);
    Ok(out)
}

impl Entry {
    fn put(&self, out: &mut Vec<u8>) -> Result<(), WriteError> {
        let name = u16::try_from(self.name.len()).map_err(|_| too_large())?;
        put16(out, &[VERSION, 0, self.method, 0, FIRST_DAY]);
        put32(out, &[self.sum, self.packed, self.plain]);
        put16(out, &[name, 0]);
        Ok(())
    }
}

fn deflated(bytes: &[u8]) -> Result<Vec<u8>, WriteError> {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::default());
    let packed = encoder.write_all(bytes).and_then(|()| encoder.finish());
    packed.map_err(|e| WriteError(format!("a file of the book cannot be packed: {e}")))
}

fn size(bytes: usize) -> Result<u32, WriteError> {
    u32::try_from(bytes).map_err(|_| too_large())
}

fn too_large() -> WriteError {
    WriteError(
        "the book is too large for an EPUB, which holds 65,535 files and four gigabytes; \
         write its parts as books of their own"
            .to_owned(),
    )
}

fn put16(out: &mut Vec<u8>, values: &[u16]) {
    out.extend(values.iter().flat_map(|value| value.to_le_bytes()));
}

fn put32(out: &mut Vec<u8>, values: &[u32]) {
    out.extend(values.iter().flat_map(|value| value.to_le_bytes()));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_files_than_an_archive_lists_are_refused() {
        let file =
            |number: usize| BookFile { name: number.to_string(), bytes: Vec::new(), packed: false };
        assert!(archive((0..65_535).map(file).collect()).is_ok());
        let refused = archive((0..65_536).map(file).collect()).map_err(|error| error.to_string());
        assert!(refused.is_err_and(|why| why.contains("65,535 files")));
    }
}
