//! The file: objects packed together, streams, and the table of where each lies (ISO 32000-1, 7.5).

use super::compress::{self, deflate};
use super::object;
use super::operand::put_integer;
use super::written::WrittenObjects;
use crate::parallel::{Each, map_in_order};
use lopdf::{Document, Object, Stream, dictionary};

/// How many objects are packed together. Entries of the structure tree are many and alike: packed they
/// take a tenth; a reader unpacks all of them for one.
const PACKED: usize = 200;

/// The number of the predictor that compares each row with the one above (7.4.4.4), and its mark in
/// the rows.
const UP: (i64, u8) = (12, 2);

/// Where an object lies (7.5.8.3).
#[derive(Clone, Copy)]
enum CrossReference {
    Free,
    /// At a byte of the file.
    At(usize),
    /// In the pack of a number, at an index.
    Packed(u32, usize),
}

/// An object that is packed with others.
#[derive(Clone, Copy)]
enum Unpacked<'a> {
    Object(&'a Object),
    /// As it is written.
    Bytes(&'a [u8]),
}

/// The bytes of a document whose streams are compressed as they are to be.
///
/// # Errors
/// Passes on what the compressor says.
pub(super) fn write(document: &Document, written: &WrittenObjects) -> std::io::Result<Vec<u8>> {
    let (mut streams, mut others) = (Vec::new(), Vec::new());
    for ((number, _), object) in &document.objects {
        match object {
            Object::Stream(stream) => streams.push((*number, stream)),
            _ => others.push((*number, Unpacked::Object(object))),
        }
    }
    others.extend(written.iter().map(|(number, bytes)| (number, Unpacked::Bytes(bytes))));
    let packs = map_in_order(Each::Large, others.chunks(PACKED).collect(), pack);
    let packs = packs.into_iter().collect::<std::io::Result<Vec<Stream>>>()?;
    let mut file = PdfFile::new(document);
    for (number, stream) in streams {
        file.put(number, stream);
    }
    for (stream, held) in packs.iter().zip(others.chunks(PACKED)) {
        let number = file.next();
        file.put(number, stream);
        for (index, (held, _)) in held.iter().enumerate() {
            file.set(*held, CrossReference::Packed(number, index));
        }
    }
    file.finish(document)
}

/// Objects and their numbers as one stream (7.5.7).
fn pack(objects: &[(u32, Unpacked<'_>)]) -> std::io::Result<Stream> {
    let (mut index, mut bytes) = (Vec::new(), Vec::new());
    for (number, object) in objects {
        put_integer(&mut index, (*number).into());
        index.push(b' ');
        put_integer(&mut index, bytes.len() as i64);
        index.push(b' ');
        match object {
            Unpacked::Object(object) => object::put(&mut bytes, object),
            Unpacked::Bytes(written) => bytes.extend_from_slice(written),
        }
        bytes.push(b' ');
    }
    let first = index.len();
    index.append(&mut bytes);
    let mut stream = compress::stream(index)?;
    stream.dict.set("Type", "ObjStm");
    stream.dict.set("N", objects.len() as i64);
    stream.dict.set("First", first as i64);
    Ok(stream)
}

/// The file as it grows.
struct PdfFile {
    bytes: Vec<u8>,
    /// By the objects' numbers.
    entries: Vec<CrossReference>,
}

impl PdfFile {
    fn new(document: &Document) -> Self {
        // A line of bytes that are no text tells programs that the file isn't (7.5.2).
        let mut bytes = format!("%PDF-{}\n%", document.version).into_bytes();
        bytes.extend_from_slice(&[0xBB, 0xAD, 0xC0, 0xDE, b'\n']);
        Self { bytes, entries: vec![CrossReference::Free; document.max_id as usize + 1] }
    }

    /// A number that no object has.
    fn next(&mut self) -> u32 {
        let number = self.entries.len();
        self.entries.push(CrossReference::Free);
        u32::try_from(number).unwrap_or_default()
    }

    fn set(&mut self, number: u32, entry: CrossReference) {
        if let Some(place) = self.entries.get_mut(number as usize) {
            *place = entry;
        }
    }

    fn put(&mut self, number: u32, stream: &Stream) {
        self.set(number, CrossReference::At(self.bytes.len()));
        put_integer(&mut self.bytes, number.into());
        self.bytes.extend_from_slice(b" 0 obj\n");
        object::put_stream(&mut self.bytes, stream);
        self.bytes.extend_from_slice(b"\nendobj\n");
    }

    /// The table of the objects, in place of a trailer (7.5.8), and where it lies.
    fn finish(mut self, document: &Document) -> std::io::Result<Vec<u8>> {
        let number = self.next();
        let start = self.bytes.len();
        self.set(number, CrossReference::At(start));
        let dict = dictionary! {
            "Type" => "XRef",
            "Size" => self.entries.len() as i64,
            "W" => WIDTHS.map(|width| Object::from(width as i64)).to_vec(),
            "Filter" => "FlateDecode",
            "DecodeParms" => dictionary! {
                "Predictor" => UP.0,
                "Columns" => WIDTHS.iter().sum::<usize>() as i64,
            },
        };
        let mut stream = Stream::new(dict, deflate(&rows(&self.entries))?);
        for key in [&b"Root"[..], b"Info"] {
            if let Ok(value) = document.trailer.get(key) {
                stream.dict.set(key, value.clone());
            }
        }
        self.put(number, &stream);
        self.bytes.extend_from_slice(format!("startxref\n{start}\n%%EOF\n").as_bytes());
        Ok(self.bytes)
    }
}

/// Bytes of the columns of the table.
const WIDTHS: [usize; 3] = [1, 4, 2];

/// The table, each row as what it differs by from the one above.
fn rows(entries: &[CrossReference]) -> Vec<u8> {
    let mut above = [0_u8; 7];
    let mut rows = Vec::with_capacity(entries.len() * 8);
    for entry in entries {
        let (kind, place, index) = match *entry {
            CrossReference::Free => (0, 0, 0),
            CrossReference::At(place) => (1, u32::try_from(place).unwrap_or_default(), 0),
            CrossReference::Packed(pack, index) => {
                (2, pack, u16::try_from(index).unwrap_or_default())
            }
        };
        let mut row = [kind; 7];
        row[1..5].copy_from_slice(&place.to_be_bytes());
        row[5..].copy_from_slice(&index.to_be_bytes());
        rows.push(UP.1);
        rows.extend(row.iter().zip(&above).map(|(byte, above)| byte.wrapping_sub(*above)));
        above = row;
    }
    rows
}
